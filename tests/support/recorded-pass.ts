/** A pass as an edge records it: samples through the engine that runs live, then batches in a chain. Invented values. */
import type { PassMessage } from '#core/messages/pass';
import type { EngineAssignment } from '#core/pass/engine-api';
import { createPassEngine, DEFAULT_ENGINE_SETTINGS } from '#core/pass/pass-engine';
import { CHAIN_START } from '#core/record/chain';
import { toBase64 } from '#core/sample/base64';
import type { Channel } from '#core/sample/channels';
import { type SampleChunk, sliceChunk } from '#core/sample/chunk';
import { encodeChunk } from '#core/sample/codec';
import { seal, testBody, testPass } from './test-records.ts';

export interface RecordedPassInput {
  readonly assignment: EngineAssignment;
  readonly chunk: SampleChunk;
  readonly stream: string;
  readonly samplePeriodS: number;
  readonly site?: string;
  readonly rig?: string;
}

const PER_BATCH = 500;

/** The closed pass and the records that carry it and its samples. */
export function recordedPass(input: RecordedPassInput): {
  message: PassMessage;
  records: ReturnType<typeof seal>[];
} {
  const { assignment, chunk, stream, samplePeriodS, site = 'spread-1', rig = 'rig-a' } = input;
  const engine = createPassEngine({ ...DEFAULT_ENGINE_SETTINGS, samplePeriodS });
  engine.assign(assignment);
  engine.push(chunk);
  engine.finish();
  const closed = engine
    .drain()
    .flatMap(effect => (effect.kind === 'pass' && effect.state === 'closed' ? [effect] : []));
  const [only] = closed;
  if (!only || closed.length > 1) throw new Error(`${closed.length} passes where one was meant`);
  const utc = (us: number): string => new Date(Math.round(us / 1000)).toISOString();
  const message: PassMessage = {
    ...testPass(only.pass.index),
    site,
    rig,
    stream,
    passId: `${stream}:${only.pass.index}`,
    joint: assignment.joint,
    side: assignment.side,
    assignmentId: assignment.id,
    procedureId: assignment.procedureId,
    procedureRevision: assignment.procedureRevision,
    startUs: only.startUs,
    endUs: only.endUs,
    startUtc: utc(only.startUs),
    endUtc: utc(only.endUs),
    pass: only.pass,
    deviations: [...only.deviations],
  };
  let prev = CHAIN_START;
  const records: ReturnType<typeof seal>[] = [];
  for (let from = 0, seq = 1; from < chunk.n; from += PER_BATCH, seq++) {
    const part = sliceChunk(chunk, from, Math.min(chunk.n, from + PER_BATCH));
    const isLast = from + PER_BATCH >= chunk.n;
    const body = {
      ...testBody({ site, rig, passes: isLast ? [message] : [] }),
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
  return { message, records };
}
