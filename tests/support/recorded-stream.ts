/** A whole stream as an edge records it: several passes, work that changes in between, samples quantised. Invented values. */
import type { PassMessage } from '#core/messages/pass';
import type { EngineSettings, PassEngine } from '#core/pass/engine-api';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import { CHAIN_START } from '#core/record/chain';
import { toBase64 } from '#core/sample/base64';
import type { Channel } from '#core/sample/channels';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { encodeChunk, quantise } from '#core/sample/codec';
import { seal, testBody, testPass } from './test-records.ts';

export interface RecordedStreamInput {
  readonly chunk: SampleChunk;
  readonly stream: string;
  readonly settings: Partial<EngineSettings>;
  /** What is done to the engine just before the first sample at or after `atUs`. */
  readonly acts: readonly { readonly atUs: number; readonly act: (engine: PassEngine) => void }[];
  readonly rig?: string;
}

const SITE = 'spread-1';
const PER_BATCH = 500;

export function quantised(chunk: SampleChunk): SampleChunk {
  const columns = Object.entries(chunk.columns).map(([channel, column]) => [
    channel,
    column.map(value => quantise(channel as Channel, value)),
  ]);
  return { ...chunk, columns: Object.fromEntries(columns) };
}

/** Of `input.chunk` as it would be on the wire: the closed passes, and the records with them and the samples. */
export function recordedStream(input: RecordedStreamInput): {
  messages: PassMessage[];
  records: ReturnType<typeof seal>[];
} {
  const { stream, settings, acts, rig = 'rig-a' } = input;
  const chunk = quantised(input.chunk);
  const engine = createPassEngine({ ...DEFAULT_ENGINE_SETTINGS, ...settings });
  let from = 0;
  for (const { atUs, act } of acts) {
    const at = chunk.tUs.findIndex(tUs => tUs >= atUs);
    engine.push(sliceChunk(chunk, from, at));
    act(engine);
    from = at;
  }
  engine.push(sliceChunk(chunk, from, chunk.n));
  engine.finish();
  const utc = (us: number): string => new Date(Math.floor(us / 1000)).toISOString();
  const messages = engine.drain().flatMap((effect): PassMessage[] => {
    if (effect.kind !== 'pass' || effect.state !== 'closed') return [];
    const { assignment, pass, startUs, endUs } = effect;
    return [
      {
        ...testPass(pass.index),
        site: SITE,
        rig,
        stream,
        passId: `${stream}:${pass.index}`,
        joint: assignment?.joint ?? null,
        side: assignment?.side ?? null,
        assignmentId: assignment?.id ?? null,
        procedureId: assignment?.procedureId ?? null,
        procedureRevision: assignment?.procedureRevision ?? null,
        startUs,
        endUs,
        startUtc: utc(startUs),
        endUtc: utc(endUs),
        pass,
        deviations: [...effect.deviations],
      },
    ];
  });
  let prev = CHAIN_START;
  const records: ReturnType<typeof seal>[] = [];
  for (let at = 0, seq = 1; at < chunk.n; at += PER_BATCH, seq++) {
    const part = sliceChunk(chunk, at, Math.min(chunk.n, at + PER_BATCH));
    const body = {
      ...testBody({ site: SITE, rig, passes: at + PER_BATCH >= chunk.n ? messages : [] }),
      samples: {
        n: part.n,
        firstUs: part.tUs[0]!,
        lastUs: part.tUs[part.n - 1]!,
        channels: Object.keys(part.columns) as Channel[],
        data: toBase64(encodeChunk(part)),
      },
    };
    const record = seal(JSON.stringify(body), seq, prev, stream);
    records.push(record);
    prev = record.hash;
  }
  return { messages, records };
}
