// Where the plans are opened from. The modules that show and write them, and their words, are loaded when somebody wants them,
// so that the bench is on the screen no later for it.

import { button } from "./elements.js";
import { redraw, refuse, state } from "./state.js";
import { learn, t } from "./tongue.js";

export async function openPlans() {
  state.planner = true;
  state.board = false;
  document.body.classList.add("on-planner");
  redraw();
  try {
    await learn("planner");
    const { showPlans } = await import("./planner.js");
    showPlans();
  } catch {
    closePlans();
    refuse(t("plans-not-loaded"));
  }
}

export function closePlans() {
  state.planner = false;
  document.body.classList.remove("on-planner");
  document.getElementById("planner").hidden = true;
  redraw();
}

export const plansButton = (key, className, word = t("plans")) => button(key, className, () => openPlans(), word);
