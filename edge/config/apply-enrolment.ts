/** What the board got when it was enrolled, as keys of its configuration. */
import { join, resolve } from 'node:path';
import { ENROLMENT_FILES, enrolmentFolderOf, readEnrolment } from '../enrol/enrolment-folder.ts';
import { DEFAULT_STORE_PATH } from './config-schema.ts';

type Table = Record<string, unknown>;

const KEYS = ['url', 'username', 'password_file', 'ca_file', 'cert_file', 'key_file'] as const;

/**
 * Puts them into `tree`, but for keys that the environment or a flag has set. Does nothing where the board was not
 * enrolled, or as another rig than the one it is configured as. Throws ProgramError on an enrolment that cannot be read.
 */
export function applyEnrolment(tree: Table, origins: Map<string, string>, baseDir: string): void {
  const { path = DEFAULT_STORE_PATH } = tableOf(tree, 'store');
  if (typeof path !== 'string') return;
  const storePath = resolve(baseDir, path);
  const kept = readEnrolment(storePath);
  const { site, rig } = tableOf(tree, 'rig');
  if (!kept || kept.site !== site || kept.rig !== rig) return;
  const folder = enrolmentFolderOf(storePath);
  const file = (name: keyof typeof ENROLMENT_FILES): string => join(folder, ENROLMENT_FILES[name]);
  const values: Partial<Record<(typeof KEYS)[number], string>> =
    kept.username === null
      ? {
          url: kept.url,
          ca_file: file('authority'),
          cert_file: file('certificate'),
          key_file: file('key'),
        }
      : { url: kept.url, username: kept.username, password_file: file('secret') };
  const broker: Table = { ...tableOf(tree, 'broker') };
  for (const key of KEYS) {
    const origin = origins.get(`broker.${key}`) ?? '';
    if (/^(environment|flag) /.test(origin)) continue;
    const value = values[key];
    if (value === undefined) delete broker[key];
    else {
      broker[key] = value;
      origins.set(`broker.${key}`, `enrolment ${folder}`);
    }
  }
  tree['broker'] = broker;
}

function tableOf(tree: Table, name: string): Table {
  const table = Object.hasOwn(tree, name) ? tree[name] : undefined;
  return typeof table === 'object' && table !== null && !Array.isArray(table) ? (table as Table) : {};
}
