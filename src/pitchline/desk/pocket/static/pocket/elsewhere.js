/* On the desk's own pages, seen by a phone: what waits in its pocket, with the way there. */
import { markSaid, putOnIcon } from "./mark.js";

const asked = indexedDB.open("pitchline");
asked.onupgradeneeded = () => asked.transaction.abort(); // this phone has no pocket yet, and gets none by looking
asked.onerror = (event) => event.preventDefault();
asked.onsuccess = () => {
  const found = asked.result.transaction("records");
  const records = found.objectStore("records");
  const [all, photos] = [records.count(), records.index("kind").count("photo")];
  found.oncomplete = () => {
    asked.result.close();
    putOnIcon(all.result);
    if (!all.result) return;
    const mark = Object.assign(document.createElement("a"), { className: "waits something", href: "/pocket/#waiting" });
    mark.textContent = markSaid("resting", { lines: all.result - photos.result, photos: photos.result });
    document.querySelector("header.top").append(mark);
  };
};
