/** What is read out of a record the same way in every store. */
import type { Deviation, PassMessage } from '#core/messages/pass';
import type { RecordMessage, Reduction } from '#core/messages/record';
import type { VerifiedRecord } from './store.ts';

/** A record as a store keeps it, beside the stream it belongs to. */
export interface RecordRow {
  readonly origin: RecordMessage['origin'];
  readonly seq: number;
  readonly prev: string;
  readonly hash: string;
  readonly body: string;
  readonly reducedTo: Reduction['to'] | null;
  readonly bodyHash: string | null;
}

/** The message as it came, to be taken over by another store. */
export function keptMessage(stream: string, { reducedTo, bodyHash, ...row }: RecordRow): RecordMessage {
  return {
    ...row,
    stream,
    historical: true,
    ...(reducedTo === null ? {} : { reduced: { to: reducedTo, bodyHash: bodyHash! } }),
  };
}

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
