/** What this reader prefers on this machine; a browser that keeps nothing still works. */

export const THEMES = ["auto", "light", "dark"] as const;
export type Theme = (typeof THEMES)[number];

const KEY = "wearbook.theme";

export class Preferences {
  theme = $state<Theme>(kept());

  choose(theme: Theme): void {
    this.theme = theme;
    try {
      localStorage.setItem(KEY, theme);
    } catch {
      // private windows may refuse; the choice then lasts as long as the page
    }
  }
}

function kept(): Theme {
  try {
    const text = localStorage.getItem(KEY);
    return THEMES.find((theme) => theme === text) ?? "auto";
  } catch {
    return "auto";
  }
}
