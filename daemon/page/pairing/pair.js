// Sends the code. The token comes back in a cookie that no script can read; the bench is at the same address from then on.

// A device that is not paired gets nothing of the bench, and so none of its words: these few stand here, in the language of the
// browser. English stands in the page.
const WORDS = {
  en: { empty: "Type the code that the bench shows.", refused: (detail) => `Not paired: ${detail || "the bench refused, and did not say why"}.`, silent: "Not paired: the bench does not answer. Is this device in the shop's network?" },
  de: {
    title: "Code eintippen",
    what: "Dieses Gerät ist nicht gekoppelt. Am Rechner des Montageplatzes einen Code zeigen lassen und hier eintippen: acht Buchstaben und Ziffern. Er gilt zehn Minuten und für ein Gerät.",
    code: "Code", send: "Dieses Gerät koppeln",
    fingerprint: "Vor dem Eintippen: Der Fingerabdruck des Zertifikats, den dieser Browser zeigt, muss der am Rechner des Montageplatzes sein.",
    empty: "Den Code eintippen, den der Montageplatz zeigt.", refused: () => "Nicht gekoppelt: Der Code stimmt nicht oder gilt nicht mehr. Einen neuen zeigen lassen.",
    silent: "Nicht gekoppelt: Der Montageplatz antwortet nicht. Ist dieses Gerät im Netz der Werkstatt?",
  },
  fr: {
    title: "Saisir le code",
    what: "Cet appareil n’est pas couplé. Faire afficher un code sur la machine de l’établi et le saisir ici\u00a0: huit lettres et chiffres. Il vaut dix minutes et pour un appareil.",
    code: "Code", send: "Coupler cet appareil",
    fingerprint: "Avant de le saisir\u00a0: l’empreinte du certificat que montre ce navigateur doit être celle de la machine de l’établi.",
    empty: "Saisir le code que montre l’établi.", refused: () => "Non couplé\u00a0: le code est faux ou ne vaut plus. En faire afficher un nouveau.",
    silent: "Non couplé\u00a0: l’établi ne répond pas. Cet appareil est-il dans le réseau de l’atelier\u00a0?",
  },
};
const language = navigator.languages.map((wanted) => wanted.slice(0, 2)).find((wanted) => WORDS[wanted]) || "en";
const words = WORDS[language];
document.documentElement.lang = language;
for (const element of document.querySelectorAll("[data-words]")) if (words[element.dataset.words]) element.textContent = words[element.dataset.words];
if (words.title) document.title = words.title;

const field = document.getElementById("code");
const said = document.getElementById("said");
const send = document.querySelector("button");

document.getElementById("form").addEventListener("submit", async (event) => {
  event.preventDefault();
  if (!field.value.trim()) { said.textContent = words.empty; field.focus(); return; }
  send.disabled = true;
  said.textContent = "";
  try {
    const answer = await fetch("/v1/pairing", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ code: field.value }) });
    if (answer.ok) { location.reload(); return; }
    const problem = await answer.json().catch(() => null);
    said.textContent = words.refused(problem?.detail);
  } catch {
    said.textContent = words.silent;
  }
  send.disabled = false;
  field.focus();
  field.select();
});
