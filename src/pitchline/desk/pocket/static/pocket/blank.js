/* A machine nobody entered yet: what is asked of it, and its walk-round by what was counted. Pure; the words came with the yard. */

/** @returns {[string, string][]} each track with its name */
export function tracksOf(blanks) {
  return blanks.tracks.map(({ track, said }) => [track, said]);
}

/** What is counted and chosen beside a machine of this kind on this track. */
export function askedOf(blanks, kind, track) {
  return trackOf(blanks, track).counts.map((one) => ({ ...one, usual: blanks.usual[one.field]?.[kind] ?? one.usual }));
}

/**
 * Its walk-round, as the desk makes it of the same counts.
 * @param {Record<string, string>} counts what was typed and chosen, by its field
 */
export function roundOf(blanks, track, counts) {
  const { hows, tools, unit } = blanks, joints = Number(counts.joints_per_side) || blanks.told.joints;
  const places = trackOf(blanks, track).places.flatMap((place) => repeated(place, counts));
  return { places, told: { ...blanks.told, joints }, hows, tools, unit };
}

const trackOf = (blanks, track) => blanks.tracks.find((one) => one.track === track) ?? blanks.tracks[0];

function repeated({ times, alone, ...place }, counts) {
  if (!times) return [place];
  const chosen = counts[times.field] ?? "", many = times.of ? (times.of[chosen] ?? Object.values(times.of)[0]) : Number(chosen) || 0;
  return Array.from({ length: many }, (_, at) => {
    const one = JSON.parse(JSON.stringify(place).replaceAll("{n}", at + 1));
    return many === 1 && alone ? { ...one, name: alone } : one;
  });
}
