/* Says so where the desk does not answer; what was typed stays in the form. */
const working = document.querySelector("#working");
const failed = () => (working.textContent = "The desk did not answer. Nothing was lost; try again.");
if (working) {
  const said = working.innerHTML;
  document.addEventListener("htmx:sendError", failed);
  document.addEventListener("htmx:responseError", failed);
  document.addEventListener("htmx:beforeRequest", () => (working.innerHTML = said));
}
