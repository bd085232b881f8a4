// Sends the code. The token comes back in a cookie that no script can read; the bench is at the same address from then on.

const field = document.getElementById("code");
const said = document.getElementById("said");
const send = document.querySelector("button");

document.getElementById("form").addEventListener("submit", async (event) => {
  event.preventDefault();
  if (!field.value.trim()) { said.textContent = "Type the code that the bench shows."; field.focus(); return; }
  send.disabled = true;
  said.textContent = "";
  try {
    const answer = await fetch("/v1/pairing", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ code: field.value }) });
    if (answer.ok) { location.reload(); return; }
    const problem = await answer.json().catch(() => null);
    said.textContent = `Not paired: ${problem?.detail || "the bench refused, and did not say why"}.`;
  } catch {
    said.textContent = "Not paired: the bench does not answer. Is this device in the shop's network?";
  }
  send.disabled = false;
  field.focus();
  field.select();
});
