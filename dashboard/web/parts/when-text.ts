/** A moment as people read it: day, month, time; in the browser's zone. */
const moments = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'short',
  hour: '2-digit',
  minute: '2-digit',
});

export const whenText = (at: number | string): string =>
  moments.format(typeof at === 'string' ? Date.parse(at) : at);
