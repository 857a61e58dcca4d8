/* What the phone carries: the list of the yard, then each machine whose parcel is not what the list says. */
import { fetched } from "./desk.js";

/** Machines whose parcels are fetched: those with a walk-round under way first, then as the list has them. */
export function wanted(rows, carried) {
  const missing = rows.filter((row) => carried[row.id] !== row.etag);
  return [...missing.filter((row) => row.draft), ...missing.filter((row) => !row.draft)];
}

/** @param {(far: {n: number, of: number}) => void} tell how far it is */
export async function carry(store, told, tell) {
  const yard = await store.read("yard", "yard");
  if (yard?.etag !== told.yard || yard?.day !== told.day) {
    const { status, told: fresh } = await fetched("yard", yard?.etag ?? "");
    if (status === 200) await takeYard(store, fresh);
    else if (status !== 304) return;
  }
  const { machines } = (await store.read("yard", "yard")) ?? { machines: [] };
  const rows = wanted(machines, (await store.read("yard", "carried")) ?? {});
  for (const [n, row] of rows.entries()) {
    tell({ n: machines.length - rows.length + n, of: machines.length });
    if ((await carryOne(store, row)) === null) return;
  }
}

/** What left the yard is carried no longer, but for a machine somebody is walking round with this phone. */
function takeYard(store, fresh) {
  return store.write(["yard", "parcels", "rounds"], async (ask) => {
    await ask("yard", "put", fresh, "yard");
    const there = new Set(fresh.machines.map((row) => row.id));
    (await ask("rounds", "getAll")).forEach((round) => there.add(round.machine));
    const carried = (await ask("yard", "get", "carried")) ?? {};
    for (const id of Object.keys(carried).filter((one) => !there.has(one))) {
      await ask("parcels", "delete", id);
      delete carried[id];
    }
    await ask("yard", "put", carried, "carried");
  });
}

/** @returns {Promise<boolean | null>} whether the phone has it now; null where the desk does not answer */
export async function carryOne(store, row) {
  const { status, told } = await fetched(`machines/${row.id}`, "");
  if (status === 200)
    await store.write(["yard", "parcels"], async (ask) => {
      await ask("parcels", "put", { id: row.id, parcel: told });
      await ask("yard", "put", { ...(await ask("yard", "get", "carried")), [row.id]: row.etag }, "carried");
    });
  return status === 200 ? true : status === 404 ? false : null;
}
