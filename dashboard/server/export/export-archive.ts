/** An export of one joint or of many as one archive: a folder a joint, and of many two tables over all of them. */
import { z } from 'zod';
import { csvLines } from '#core/csv/csv-writer';
import type { ExportSet } from '#core/messages/api-export';
import { paperMannerSchema, paperSchema } from '#core/messages/api-export';
import { originSchema } from '#core/messages/common';
import { borrowSamples, SamplesAwayError } from '../store/borrow-samples.ts';
import type { SampleSource } from '../store/sample-source.ts';
import { foundColumns, foundIn } from './deviations-table.ts';
import { type ExportContext, sealedJoint } from './export-context.ts';
import { FolderNames } from './file-name.ts';
import { jointArchive } from './joint-archive.ts';
import type { JointParts } from './joint-parts.ts';
import { passColumns } from './passes-table.ts';
import { ArchiveError, type ArchiveFile, zipStream } from './zip-stream.ts';

export const exportRequestSchema = z.strictObject({
  joints: z.array(z.string()),
  origin: originSchema,
  /** Null where joints were named. */
  date: z.string().nullable(),
  zone: z.string(),
  papers: z.array(paperSchema),
  manner: paperMannerSchema,
});
/** What is to be exported; the joints are known already. */
export type ExportRequest = z.infer<typeof exportRequestSchema>;

/** Joints that are in it, of so many. */
export type OnProgress = (done: number, total: number) => void;

/** `elsewhere`: where samples are read that the store let go; null where there is no such place. */
export function exportArchive(
  context: ExportContext,
  request: ExportRequest,
  onProgress: OnProgress,
  elsewhere: SampleSource | null = null,
): AsyncGenerator<Uint8Array> {
  return zipStream(filesOf(context, request, onProgress, elsewhere));
}

async function* filesOf(
  context: ExportContext,
  { joints, origin, date, zone, papers, manner }: ExportRequest,
  onProgress: OnProgress,
  elsewhere: SampleSource | null,
): AsyncGenerator<ArchiveFile> {
  const names = new FolderNames(['passes.csv', 'deviations.csv', 'joints.json']);
  const many = date !== null || joints.length > 1;
  const passes: string[] = [];
  const found: string[] = [];
  const set: ExportSet['joints'] = [];
  onProgress(0, joints.length);
  for (const [i, joint] of joints.entries()) {
    const facts = context.facts.joint(joint, origin);
    if (!facts) continue;
    const folder = names.of(joint);
    const recorded = facts.recorded.map(({ message }) => message);
    const whole = { ...context, store: await borrowed(context.store, elsewhere, recorded) };
    const { parts, files } = jointArchive(sealedJoint(facts, whole), { zone, papers, manner }, folder);
    for await (const file of files) {
      if (many && file.name === `${folder}/manifest.json`) {
        const { at } = parts.sealed;
        yield {
          ...file,
          onDone: ({ sha256 }) =>
            set.push({ joint, origin: facts.origin, folder, at, manifestSha256: sha256 }),
        };
      } else yield file;
    }
    if (many) gather(parts, zone, passes, found);
    onProgress(i + 1, joints.length);
  }
  if (!many) return;
  const at = new Date(Math.max(0, ...set.map(one => Date.parse(one.at))));
  yield { name: 'passes.csv', at, content: [...csvLines(passColumns(zone), []), ...passes] };
  yield { name: 'deviations.csv', at, content: [...csvLines(foundColumns(zone), []), ...found] };
  const summary: ExportSet = {
    schema: 'girthlog.export-set/1',
    software: context.software,
    date,
    zone,
    joints: set,
  };
  yield { name: 'joints.json', at, content: `${JSON.stringify(summary, null, 1)}\n` };
}

async function borrowed(
  ...[store, elsewhere, passes]: Parameters<typeof borrowSamples<ExportContext['store']>>
): Promise<ExportContext['store']> {
  try {
    return await borrowSamples(store, elsewhere, passes);
  } catch (error) {
    if (error instanceof SamplesAwayError) throw new ArchiveError(error.message);
    throw error;
  }
}

/** The rows without their header. */
function gather(parts: JointParts, zone: string, passes: string[], found: string[]): void {
  const body = (lines: Iterable<string>): string[] => [...lines].slice(1);
  passes.push(...body(csvLines(passColumns(zone), parts.passes)));
  found.push(...body(csvLines(foundColumns(zone), parts.passes.flatMap(foundIn))));
}
