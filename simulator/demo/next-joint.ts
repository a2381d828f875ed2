/** The number after the highest `prefix` + digits among `names`, and not below `first`. */
export function nextJointNumber(names: readonly string[], prefix: string, first: number): number {
  let next = first;
  for (const name of names) {
    const digits = name.startsWith(prefix) ? name.slice(prefix.length) : '';
    if (/^\d{1,9}$/.test(digits)) next = Math.max(next, Number(digits) + 1);
  }
  return next;
}
