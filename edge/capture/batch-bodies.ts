/** The content of one batch as record bodies, split so that each fits a broker's packet limit. */
import type { RigEvent } from '#core/messages/event';
import type { PassMessage } from '#core/messages/pass';
import type { RecordBody } from '#core/messages/record';
import type { SignedSeal } from '#core/record/seal';
import { toBase64 } from '#core/sample/base64';
import { CHANNEL_NAMES } from '#core/sample/channels';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { encodeChunk } from '#core/sample/codec';

/** Of a body as it travels, a JSON string inside the record message: packets stay under 64 KiB. */
export const MAX_BODY_BYTES = 60_000;
/** Of a pass: its seal holds it whole, with its gaps, and has to fit as well. */
export const MAX_PASS_BYTES = 46_000;

export interface BatchContent {
  readonly samples: SampleChunk | null;
  readonly events: readonly RigEvent[];
  readonly passes: readonly PassMessage[];
  readonly seals?: readonly SignedSeal[];
}

export type BodyHeader = Pick<
  RecordBody,
  'origin' | 'site' | 'rig' | 'at' | 'clock' | 'utcMinusRecordMs' | 'clockMap'
>;

export interface BatchBody extends BatchContent {
  readonly text: string;
  /** Deviations left out of a pass that was too large on its own; it says so itself. */
  readonly deviationsCut: number;
}

/** One body, or as many as it takes; samples first, then events, passes and seals, each in order. */
export function batchBodies(header: BodyHeader, content: BatchContent): BatchBody[] {
  const fitted = content.passes.map(fitPass);
  const deviationsCut = fitted.reduce((sum, { left }) => sum + left, 0);
  const [first, ...more] = bodiesOf(header, { ...content, passes: fitted.map(({ pass }) => pass) });
  return first ? [{ ...first, deviationsCut }, ...more] : [];
}

function bodiesOf(header: BodyHeader, content: BatchContent): BatchBody[] {
  const text = bodyText(header, content);
  if (travellingBytes(text) <= MAX_BODY_BYTES) return [{ ...content, text, deviationsCut: 0 }];
  const halves = split(content);
  if (!halves) throw new RangeError('one sample, event or seal is larger than a batch may be');
  return halves.flatMap(half => bodiesOf(header, half));
}

/** A pass that is too large, with shorter lists. */
function fitPass(pass: PassMessage): { pass: PassMessage; left: number } {
  if (travellingBytes(JSON.stringify(pass)) <= MAX_PASS_BYTES) return { pass, left: 0 };
  const cut = cutPass(pass);
  const fitted = fitPass(cut.pass);
  return { pass: fitted.pass, left: fitted.left + cut.left };
}

function bodyText(header: BodyHeader, { samples, events, passes, seals = [] }: BatchContent): string {
  const body: RecordBody = {
    schema: 'girthlog.record/1',
    ...header,
    samples: samples && samples.n > 0 ? encode(samples) : null,
    events: [...events],
    passes: [...passes],
    ...(seals.length > 0 ? { seals: [...seals] } : {}),
  };
  return JSON.stringify(body);
}

function encode(samples: SampleChunk): NonNullable<RecordBody['samples']> {
  return {
    n: samples.n,
    firstUs: samples.tUs[0]!,
    lastUs: samples.tUs[samples.n - 1]!,
    channels: CHANNEL_NAMES.filter(name => samples.columns[name]),
    data: toBase64(encodeChunk(samples)),
  };
}

function travellingBytes(text: string): number {
  return Buffer.byteLength(JSON.stringify(text));
}

/** Two smaller contents in order, or null where only one thing is left. */
function split({ samples, events, passes, seals = [] }: BatchContent): [BatchContent, BatchContent] | null {
  const nothing: BatchContent = { samples: null, events: [], passes: [], seals: [] };
  if (samples && events.length + passes.length + seals.length > 0) {
    return [
      { ...nothing, samples },
      { ...nothing, events, passes, seals },
    ];
  }
  if (samples && samples.n > 1) {
    const middle = samples.n >> 1;
    return [
      { ...nothing, samples: sliceChunk(samples, 0, middle) },
      { ...nothing, samples: sliceChunk(samples, middle, samples.n) },
    ];
  }
  if (events.length > 0 && passes.length + seals.length > 0) {
    return [
      { ...nothing, events },
      { ...nothing, passes, seals },
    ];
  }
  if (passes.length > 0 && seals.length > 0) {
    return [
      { ...nothing, passes },
      { ...nothing, seals },
    ];
  }
  if (events.length > 1) {
    const middle = events.length >> 1;
    return [
      { ...nothing, events: events.slice(0, middle) },
      { ...nothing, events: events.slice(middle) },
    ];
  }
  if (passes.length > 1) {
    const middle = passes.length >> 1;
    return [
      { ...nothing, passes: passes.slice(0, middle) },
      { ...nothing, passes: passes.slice(middle) },
    ];
  }
  if (seals.length > 1) {
    const middle = seals.length >> 1;
    return [
      { ...nothing, seals: seals.slice(0, middle) },
      { ...nothing, seals: seals.slice(middle) },
    ];
  }
  return null;
}

/** Half of the longer of deviations and calls (every one is an event of its own besides), else half of the stops. */
function cutPass(message: PassMessage): { pass: PassMessage; left: number } {
  const { deviations } = message;
  const calls = message.pass.drift?.calls ?? [];
  if (JSON.stringify(calls).length > JSON.stringify(deviations).length) {
    return { pass: cutCalls(message), left: 0 };
  }
  if (deviations.length > 0) {
    const kept = deviations.length >> 1;
    const left = deviations.length - kept;
    return { pass: noteCut({ ...message, deviations: deviations.slice(0, kept) }, 'deviations'), left };
  }
  const { stops } = message.pass;
  if (stops.length === 0) throw new RangeError('a pass is larger than a batch may be');
  const pass = { ...message.pass, stops: stops.slice(0, stops.length >> 1) };
  return { pass: noteCut({ ...message, pass }, 'stops'), left: 0 };
}

/** Half of the calls; how many are missing stands beside them. */
function cutCalls(message: PassMessage): PassMessage {
  const { drift } = message.pass;
  if (!drift) return message;
  const calls = drift.calls.slice(0, drift.calls.length >> 1);
  const callsCut = drift.callsCut + drift.calls.length - calls.length;
  return { ...message, pass: { ...message.pass, drift: { ...drift, calls, callsCut } } };
}

function noteCut(message: PassMessage, field: 'deviations' | 'stops'): PassMessage {
  const kept = field === 'deviations' ? message.deviations.length : message.pass.stops.length;
  const reason = {
    code: 'listCut',
    fields: [field],
    text: `only the first ${kept} ${field} are listed: the list was too long for one record; each is an event of its own`,
  };
  const others = message.pass.reasons.filter(r => !(r.code === 'listCut' && r.fields[0] === field));
  return { ...message, pass: { ...message.pass, reasons: [...others, reason] } };
}
