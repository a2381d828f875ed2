/** What a child process of a benchmark run may be, by the first word of its arguments. */
import { runAckFirst } from './ack-first.ts';
import { runFeeder } from './feeder.ts';

export const ROLES: Readonly<Record<string, () => void>> = {
  'ack-first': runAckFirst,
  feed: runFeeder,
};
