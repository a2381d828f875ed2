/** Hands a text to the person as a file. */
export function saveFile(name: string, type: string, content: string): void {
  const url = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  link.click();
  // The browser has taken it over by then; kept until the next turn for those that read it late.
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

/** A procedure is far smaller; more than this is another file. */
export const FILE_LIMIT = 60_000;
