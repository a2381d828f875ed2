import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { BenchContext } from './figure.ts';
import { type Program, startNode } from './programs.ts';

/** The real edge program with a configuration of its own in `folder`. */
export function startEdge(
  { dist }: BenchContext,
  folder: string,
  { rig, source, broker }: { rig: string; source: string; broker: string },
): Program {
  return startNode([
    join(dist, 'girthlog-edge.js'),
    'run',
    '--config',
    edgeConfig(folder, { rig, source, broker }),
  ]);
}

export function edgeConfig(
  folder: string,
  { rig, source, broker }: { rig: string; source: string; broker: string },
): string {
  mkdirSync(folder, { recursive: true });
  const file = join(folder, 'edge.toml');
  writeFileSync(
    file,
    `[rig]
site = "bench"
rig = "${rig}"
origin = "simulated"
reference_radius_mm = 310
[source]
url = "${source}"
format = "binary"
[broker]
url = "${broker}"
[store]
path = "edge.db"
[log]
level = "error"
`,
  );
  return file;
}
