/** All files of one joint's export, in order; the manifest last, with the SHA-256 of every other. */
import type { ExportManifest } from '#core/messages/api-export';
import type { ExportStyle, SealedJoint } from './export-context.ts';
import { plainName, safeName } from './file-name.ts';
import { JointParts } from './joint-parts.ts';
import type { PassExport } from './pass-export.ts';
import { README } from './readme-text.ts';
import { replayMap } from './replay-map.ts';
import { samplesCsv } from './samples-table.ts';
import type { ArchiveFile, WrittenFile } from './zip-stream.ts';

export interface JointArchive {
  readonly parts: JointParts;
  /** Below `folder`. */
  readonly files: AsyncIterable<ArchiveFile>;
}

export function jointArchive(sealed: SealedJoint, style: ExportStyle, folder: string): JointArchive {
  const parts = new JointParts(sealed, style.zone);
  return { parts, files: filesOf(parts, style, folder) };
}

async function* filesOf(parts: JointParts, style: ExportStyle, folder: string): AsyncGenerator<ArchiveFile> {
  const { review, at, context } = parts.sealed;
  const time = new Date(at);
  const written: WrittenFile[] = [];
  const file = (name: string, content: ArchiveFile['content']): ArchiveFile => ({
    name: `${folder}/${name}`,
    at: time,
    content,
    onDone: ({ bytes, sha256 }) => written.push({ name, bytes, sha256 }),
  });
  yield file('README.txt', README[style.manner.language]);
  for (const paper of style.papers)
    yield file(`report-${paper}.pdf`, await parts.report(paper, style.manner));
  yield file('joint.json', `${JSON.stringify(parts.json(), null, 1)}\n`);
  yield file('record.json', parts.record().text);
  const procedures = new Map(parts.procedures().map(one => [procedureFile(one), one]));
  for (const [name, procedure] of procedures) yield file(name, `${JSON.stringify(procedure, null, 1)}\n`);
  yield file('passes.csv', parts.passesCsv());
  yield file('deviations.csv', parts.foundCsv());
  yield file('windows.csv', parts.windowsCsv());
  yield file('events.csv', parts.eventsCsv());
  for (const [i, pass] of parts.passes.entries()) {
    const name = `passes/${passFolder(pass, i + 1)}`;
    yield file(`${name}/pass.json`, `${JSON.stringify(pass.message, null, 1)}\n`);
    if (pass.samples === null) continue;
    yield file(`${name}/samples.csv`, samplesCsv(pass, style.zone));
    const map = replayMap(pass);
    if (map) yield file(`${name}/MAP.json`, `${JSON.stringify(map, null, 1)}\n`);
  }
  const manifest: ExportManifest = {
    schema: 'girthlog.export-manifest/1',
    software: context.software,
    joint: review.joint,
    origin: review.origin,
    at,
    zone: style.zone,
    files: written,
  };
  yield file('manifest.json', `${JSON.stringify(manifest, null, 1)}\n`);
}

/** "procedures/example-610-rev3.json": ids are topic ids, which are safe already. */
const procedureFile = ({ id, revision }: { id: string; revision: number }): string =>
  `procedures/${safeName(id)}-rev${revision}.json`;

/** "03-B-fill-1": its number makes it the only one. */
function passFolder({ work }: PassExport, number: number): string {
  const parts = [String(number).padStart(2, '0'), work.side ?? 'no-side', plainName(work.pass ?? 'no-pass')];
  return parts.filter(part => part !== '').join('-');
}
