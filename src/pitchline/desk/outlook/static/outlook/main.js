/* Says so where the desk does not answer; what was typed stays in the form. */
import { say } from "../desk/say.js";

const working = document.querySelector("#working");
const failed = () => (working.textContent = say("The desk did not answer. Nothing was lost; try again."));
if (working) {
  const said = working.innerHTML;
  document.addEventListener("htmx:sendError", failed);
  document.addEventListener("htmx:responseError", failed);
  document.addEventListener("htmx:beforeRequest", () => (working.innerHTML = said));
}
