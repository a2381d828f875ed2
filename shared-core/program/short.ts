/** Somebody's words inside a sentence of ours: cut where they would drown it. */
export function short(text: string, mostLetters = 80): string {
  return text.length <= mostLetters ? text : `${text.slice(0, mostLetters)}…`;
}
