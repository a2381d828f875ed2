/** Does a backup hold what is about to be let go? It is read to its last byte, and asked for each stream. */
import { EXIT, ProgramError } from '#core/program/program-error';
import type { PruneStream } from '../store/pruning.ts';
import type { Prepare } from '../store/statements.ts';
import { readBackup } from './read-backup.ts';

/** Throws ProgramError unless `file` is whole and holds every one of these records, by the hash chain. */
export async function requireCovered(
  file: string,
  streams: readonly PruneStream[],
  sql: Prepare,
  onProgress: (part: number) => void,
): Promise<void> {
  const manifest = await readBackup({
    file,
    onManifest: () => {},
    openMember: () => ({ write: () => {}, close: () => {} }),
    onProgress,
  });
  for (const { streamId, site, rig, stream, lastSeq } of streams) {
    const kept = manifest.streams.find(one => one.stream === stream && one.site === site && one.rig === rig);
    const row =
      kept && sql('SELECT hash FROM records WHERE stream_id = ? AND seq = ?').get(streamId, kept.upto);
    const same = (row as { hash: string } | undefined)?.hash === kept?.head;
    if (kept && kept.upto >= lastSeq && same) continue;
    throw new ProgramError(
      `${file} does not hold every record of ${site}/${rig} that would give its samples: make a new backup first.`,
      EXIT.verification,
    );
  }
}
