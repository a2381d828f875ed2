import type { FuzzTarget } from './target.ts';
import { archiveTargets } from './targets/archives.ts';
import { fileTargets } from './targets/files.ts';
import { frameTargets } from './targets/frames.ts';
import { httpTarget } from './targets/http-api.ts';
import { payloadTargets } from './targets/mqtt-payloads.ts';
import { socketTarget } from './targets/mqtt-sockets.ts';

/** What takes input from outside, called in this process. */
export const innerTargets: readonly FuzzTarget[] = [
  ...frameTargets,
  ...payloadTargets,
  ...fileTargets,
  ...archiveTargets,
];
/** Over sockets. */
export const programTargets: readonly FuzzTarget[] = [socketTarget, httpTarget];
