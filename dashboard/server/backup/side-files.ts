/**
 * Small files beside the store and one folder deep: its keys, and what the rigs said of themselves. What can be made
 * anew is neither kept nor named. Each is read once: a running dashboard writes some of them anew while a backup is made,
 * and what the manifest says of a file has to be what stands in the backup.
 */
import { lstat, readdir, readFile } from 'node:fs/promises';
import { join, relative } from 'node:path';
import { isMemberName, MAX_LEFT_OUT, MAX_MEMBERS } from './backup-manifest.ts';

export interface SideFile {
  readonly name: string;
  readonly content: Buffer;
}

/** Larger files beside the store are none of ours. */
const MAX_SIDE_FILE_BYTES = 1_048_576;
/** All of them together are held in memory. */
const MAX_ALL_BYTES = 67_108_864;
/** No secret: public keys and certificates, by which what is signed is checked, and what the rigs said of themselves. */
const PUBLIC = /\.(?:pub|crt|pub\.pem)$|^rig-info\.json$/;
/** The store itself, copies of older layouts and damaged ones, the cursors of projections, what is half written, and who runs now. */
const NOT_OURS = /\.(?:sqlite3|db)(?:[.-]|$)|\.part$|^running\.json/;
/** Its exports are made anew when somebody asks. */
const EXPORTS = 'export-jobs';

/** `leftOut`: names of the others, the last of very many saying how many more there are. */
export async function sideFiles(
  data: string,
  withKeys: boolean,
): Promise<{ kept: SideFile[]; leftOut: string[] }> {
  const kept: SideFile[] = [];
  const leftOut: string[] = [];
  let held = 0;
  for (const path of await filesIn(data)) {
    const name = relative(data, path);
    const wanted = (withKeys || PUBLIC.test(name.slice(name.lastIndexOf('/') + 1))) && isMemberName(name);
    // The store and the list of machines are members as well.
    const content = wanted && kept.length < MAX_MEMBERS - 2 ? await smallFile(path) : null;
    if (content === undefined) continue;
    if (content !== null && held + content.length <= MAX_ALL_BYTES) {
      kept.push({ name, content });
      held += content.length;
    } else leftOut.push(name.slice(0, 100));
  }
  if (leftOut.length <= MAX_LEFT_OUT) return { kept, leftOut };
  const named = leftOut.slice(0, MAX_LEFT_OUT - 1);
  return { kept, leftOut: [...named, `and ${leftOut.length - named.length} more`] };
}

/** Those of the folder itself first: keys are among them. */
async function filesIn(data: string): Promise<string[]> {
  const files: string[] = [];
  const folders: string[] = [];
  const visit = async (folder: string, inner: string[] | null): Promise<void> => {
    for (const entry of await readdir(folder, { withFileTypes: true })) {
      const path = join(folder, entry.name);
      if (entry.isDirectory() && entry.name !== EXPORTS) inner?.push(path);
      else if (entry.isFile() && !NOT_OURS.test(entry.name)) files.push(path);
    }
  };
  await visit(data, folders);
  for (const folder of folders) await visit(folder, null);
  return files;
}

/** Null where it is too large; undefined where it is gone by now. */
async function smallFile(path: string): Promise<Buffer | null | undefined> {
  try {
    const { size } = await lstat(path);
    if (size > MAX_SIDE_FILE_BYTES) return null;
    const content = await readFile(path);
    return content.length > MAX_SIDE_FILE_BYTES ? null : content;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
}
