// Language, unit of torque and decimal mark of this device, over what the shop has chosen. The page starts anew with them.

import { h } from "./elements.js";
import { MARKS, decimalMark, torqueUnits, unit } from "./figures.js";
import { remember, remembered } from "./kept.js";
import { shop } from "./shop.js";
import { LANGUAGES, language, t } from "./tongue.js";

const CHOICES = ["language", "unit", "decimal"];

function choice(key, label, options, shops) {
  const field = h("select", { id: `display ${key}`, "data-key": `display ${key}` },
    h("option", { value: "" }, shops ? t("display-shop", { value: shops }) : t("display-shop-none")),
    options.map(([value, word]) => h("option", { value }, word)));
  field.value = remembered(key);
  if (field.selectedIndex < 0) field.value = "";
  return [h("label", { class: "label", for: `display ${key}` }, label), field];
}

const wordOf = (options, value) => options.find(([known]) => known === value)?.[1];

function keep(event) {
  event.preventDefault();
  for (const key of CHOICES) remember(key, document.getElementById(`display ${key}`).value);
  location.reload();
}

export const shownOfDisplay = (sheet) => [sheet, language, unit.ucum, decimalMark];

export const displaySheet = () => [
  h("h2", { id: "sheet-title" }, t("display")),
  h("p", {}, t("display-what")),
  h("form", { on: { submit: keep }, novalidate: true },
    choice("language", t("display-language"), LANGUAGES, wordOf(LANGUAGES, shop.language)),
    choice("unit", t("display-unit"), torqueUnits, wordOf(torqueUnits, shop.torque_unit)),
    h("p", { class: "quiet" }, t("display-unit-what")),
    choice("decimal", t("display-decimal"), MARKS.map((mark) => [mark, `5${mark}5`]), shop.decimal && `5${shop.decimal}5`),
    h("button", { type: "submit", class: "main", "data-key": "display send" }, t("display-send"))),
];
