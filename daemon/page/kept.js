// What this device keeps for itself.

export function remembered(key) {
  try { return localStorage.getItem(`pullmark.${key}`) || ""; } catch { return ""; }
}
export function remember(key, value) {
  try { localStorage.setItem(`pullmark.${key}`, value); } catch { /* private window: kept until it is closed */ }
}
