// A scanned code comes behind the mark # of the address, which no server sees; a phone that waits looks whether it is in.
const EVERY_MS = 2000;
const field = document.querySelector("[data-code] [name=code]");

if (field && location.hash.length > 1) {
  field.value = decodeURIComponent(location.hash.slice(1));
  history.replaceState(null, "", location.pathname);
  document.querySelector("[data-code] [name=person]").focus();
}

if (document.querySelector("[data-waits]")) setInterval(() => location.reload(), EVERY_MS);
