/** What a child process of a benchmark run may be, by the first word of its arguments. */
import { runAckFirst } from './ack-first.ts';
import { runFanOut } from './fan-out.ts';
import { runFeeder } from './feeder.ts';
import { runHurriedWelds } from './hurried-welds.ts';
import { runPlainPage } from './plain-page.ts';
import { runPlainEdge, runPlainServer } from './plain-pipeline.ts';

export const ROLES: Readonly<Record<string, () => void>> = {
  'ack-first': runAckFirst,
  'fan-out': runFanOut,
  feed: runFeeder,
  'hurried-welds': runHurriedWelds,
  'plain-edge': runPlainEdge,
  'plain-page': runPlainPage,
  'plain-server': runPlainServer,
};
