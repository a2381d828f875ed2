import { format } from '../text/text.ts';

/** A moment as people read it: day, month, time; in the zone of the job. */
export const whenText = (at: number | string): string =>
  format().moment(typeof at === 'string' ? Date.parse(at) : at);
