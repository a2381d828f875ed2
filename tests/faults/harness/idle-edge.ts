/** An edge on a given store file, with neither device nor broker: only how it starts counts. */
import { writeConfig } from '../../support/edge-bench.ts';
import { type RunningProgram, startProgram } from '../../support/programs.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { waitUntil } from '../../support/wait-until.ts';

/** Resolves once it has started; rejects with what it says when it has not within 30 s. */
export async function startIdleEdge(file: string): Promise<RunningProgram> {
  const config = writeConfig(tempDir(), 'tcp://127.0.0.1:9', 'mqtt://127.0.0.1:9');
  const edge = startProgram('girthlog-edge', ['run', '--config', config, '--set', `store.path=${file}`]);
  await waitUntil(
    () => edge.stderr().includes('"event":"started"'),
    () => `the edge to start on ${file}: ${edge.stderr()}`,
    30_000,
  );
  return edge;
}
