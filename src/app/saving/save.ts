/** Hands the reader a file. Nothing is sent anywhere: the browser writes it from memory. */

export function saveBlob(blob: Blob, name: string): void {
  const address = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  // the download has taken its own reference by then
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** CSV goes out with a byte order mark, so that spreadsheets read it as UTF-8. */
export function saveCsv(text: string, name: string): void {
  saveBlob(new Blob(["\uFEFF", text], {type: "text/csv;charset=utf-8"}), name);
}

/**
 * A file name that every system takes: lower case words joined by hyphens.
 *
 * @example fileNameOf(["Poppet tip", "Weibull plot, OBM"], "svg") // "poppet-tip-weibull-plot-obm.svg"
 */
export function fileNameOf(parts: readonly string[], ending: string): string {
  const words = parts
    .join(" ")
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, 80)
    .replace(/^-+|-+$/g, "");
  return `${words === "" ? "wearbook" : words}.${ending}`;
}
