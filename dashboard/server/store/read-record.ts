/** What is read out of a record the same way in every store. */
import type { Deviation, PassMessage } from '#core/messages/pass';
import type { VerifiedRecord } from './store.ts';

/** False for a pass that names another rig, stream or origin than the record it came in. */
export function isOwnPass(record: VerifiedRecord, pass: PassMessage): boolean {
  const { site, rig, message } = record;
  return (
    pass.site === site && pass.rig === rig && pass.stream === message.stream && pass.origin === message.origin
  );
}

/** UTC. Times of a deviation and of its pass count from the same first sample. */
export function deviationStart(deviation: Deviation, pass: PassMessage): string {
  const at = new Date(Date.parse(pass.startUtc) + (deviation.fromS - pass.pass.startS) * 1000);
  return Number.isNaN(at.getTime()) ? pass.startUtc : at.toISOString();
}
