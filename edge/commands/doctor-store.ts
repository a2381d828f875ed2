/** What the doctor thinks of the store and the key beside it. Reads only, through a connection that cannot write. */
import { createPrivateKey } from 'node:crypto';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import Database from 'better-sqlite3';
import { holdersOf, parseLocks } from '#core/program/file-locks';
import { type Finding, finding } from '#core/program/finding';
import { checkChain } from '../outbox/chain-check.ts';
import { witnessedHead, witnessProblem } from '../outbox/head-witness.ts';
import { STORE_VERSION } from '../outbox/outbox-database.ts';
import { prepareStatements } from '../outbox/statements.ts';
import { keyPathOf } from '../seal/seal-key.ts';

/** As many as an edge checks at every start. */
const NEWEST = 600;
/** Pages are checked whole up to this size, bytes. */
const WHOLE_UP_TO = 256 * 1024 * 1024;

export interface StoreLook {
  readonly findings: readonly Finding[];
  /** UTC of the newest batch, ms; null where none can be read. */
  readonly newestUtcMs: number | null;
}

/** The process that holds the store's lock; null where none does. */
export function runningEdge(storePath: string, proc = '/proc'): number | null {
  try {
    const { dev, ino } = statSync(`${storePath}.lock`);
    const locks = holdersOf(parseLocks(readFileSync(`${proc}/locks`, 'utf8')), { dev, ino });
    return locks.find(({ isWrite }) => isWrite)?.pid ?? null;
  } catch {
    return null;
  }
}

export function lookAtStore(
  path: string,
  requiredStores: readonly string[],
  runningPid: number | null,
): StoreLook {
  const mode = modeOf(path);
  if (typeof mode === 'string') {
    const said = mode === 'ENOENT' ? absent(path) : unreadable(path, mode);
    return { findings: [said, ...asides(path), keyFinding(path)], newestUtcMs: null };
  }
  const open =
    (mode & 0o077) === 0 ? [] : [finding('store', 'look', `others can read ${path}: chmod 600 ${path}`)];
  try {
    const db = new Database(path, { readonly: true, fileMustExist: true });
    try {
      const look = lookInside(db, path, requiredStores, runningPid);
      return { ...look, findings: [...look.findings, ...open, ...asides(path), keyFinding(path)] };
    } finally {
      db.close();
    }
  } catch (error) {
    const { code = String(error) } = error as { code?: string };
    return { findings: [unreadable(path, code), ...asides(path), keyFinding(path)], newestUtcMs: null };
  }
}

/** Or the code of why it cannot be asked. */
function modeOf(path: string): number | string {
  try {
    return statSync(path).mode;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code ?? String(error);
  }
}

function absent(path: string): Finding {
  return finding(
    'store',
    'look',
    `there is no store ${path} yet: the first start makes it; if an edge runs already, store.path is not the path that it uses`,
  );
}

function unreadable(path: string, code: string): Finding {
  return /CANTOPEN|READONLY|AUTH|EACCES/.test(code)
    ? finding('store', 'stop', `this user cannot open ${path} (${code}): run this as the user of the service`)
    : finding(
        'store',
        'stop',
        `${path} is damaged (${code}): start the edge, which moves it aside and goes on; keep the file`,
      );
}

function lookInside(
  db: Database.Database,
  path: string,
  requiredStores: readonly string[],
  runningPid: number | null,
): StoreLook {
  db.pragma('trusted_schema = OFF');
  db.pragma('busy_timeout = 2000');
  const layout = Number(db.pragma('user_version', { simple: true }));
  if (layout > STORE_VERSION) {
    const text = `${path} was written by a newer girthlog-edge (layout ${layout}, this one knows ${STORE_VERSION}): use that one, or see docs/install.md on going back`;
    return { findings: [finding('store', 'stop', text)], newestUtcMs: null };
  }
  if (layout < STORE_VERSION) {
    const text = `${path} has layout ${layout}: the next start brings it to ${STORE_VERSION}, and an older Girthlog no longer opens it then`;
    return { findings: [finding('store', 'look', text)], newestUtcMs: null };
  }
  // One picture of the store, whatever a running edge adds meanwhile.
  return db.transaction(() => {
    if (statSync(path).size <= WHOLE_UP_TO) {
      const [first] = db.pragma('quick_check(1)') as { quick_check: string }[];
      if (first?.quick_check !== 'ok') throw new Error(`${first?.quick_check}`.slice(0, 120));
    }
    const statements = prepareStatements(db);
    const stream = statements.stream.get() ?? '';
    const last = statements.last.get();
    const lastSeq = last?.seq ?? 0;
    checkChain(statements, stream, lastSeq - NEWEST + 1);
    // A running edge writes the witness after the batch: only of one at rest it says something.
    const hashAt = (seq: number): string | null => statements.hashAt.get(seq) ?? null;
    const lost =
      runningPid === null ? witnessProblem(witnessedHead(path), { stream, lastSeq, hashAt }) : null;
    if (lost !== null) throw new Error(lost);
    const size = (statSync(path).size / 1e6).toFixed(1);
    const held = runningPid === null ? 'no edge has it open' : `open in the edge of process ${runningPid}`;
    const findings = [
      finding('store', 'ok', `layout ${layout}, ${lastSeq} batches in ${size} MB, the newest fit; ${held}`),
      ...requiredStores.map(store => delivered(store, statements.cursor.get(store)?.upto ?? 0, lastSeq)),
    ];
    return { findings, newestUtcMs: last?.closed_utc_ms ?? null };
  })();
}

/** A running edge is always a batch or two ahead. */
const IN_FLIGHT = 10;

function delivered(store: string, upto: number, lastSeq: number): Finding {
  const waiting = lastSeq - upto;
  if (waiting === 0) return finding('delivery', 'ok', `store "${store}" has everything`);
  return waiting <= IN_FLIGHT
    ? finding('delivery', 'ok', `store "${store}" has all but the newest ${waiting} batches`)
    : finding(
        'delivery',
        'look',
        `${waiting} batches wait for store "${store}": see the broker and the truck`,
      );
}

function asides(path: string): Finding[] {
  let moved: string[] = [];
  try {
    moved = readdirSync(dirname(path)).filter(
      name => name.startsWith(`${basename(path)}.quarantine-`) && !/-(?:wal|shm)$/.test(name),
    );
  } catch {
    // A folder that cannot be listed is told by what cannot be opened in it.
  }
  if (moved.length === 0) return [];
  const text = `${moved.length} damaged stores lie beside it (${moved.at(-1)}): copy them away for whoever can read them`;
  return [finding('store', 'look', text)];
}

function keyFinding(storePath: string): Finding {
  const file = keyPathOf(storePath);
  const mode = modeOf(file);
  if (mode === 'ENOENT') {
    return finding('seal key', 'look', `there is no key ${file} yet: the first start makes it`);
  }
  try {
    if (typeof mode === 'number' && (mode & 0o077) !== 0) {
      return finding(
        'seal key',
        'stop',
        `others can read ${file}: chmod 400 it, ask who may have copied it, and think of key rotate`,
      );
    }
    const isKey = createPrivateKey(readFileSync(file)).asymmetricKeyType === 'ed25519';
    return isKey
      ? finding('seal key', 'ok', `${file} is an Ed25519 key that only its owner can read`)
      : notAKey(file);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EACCES'
      ? finding('seal key', 'stop', `this user cannot read ${file}: run this as the user of the service`)
      : notAKey(file);
  }
}

function notAKey(file: string): Finding {
  return finding(
    'seal key',
    'stop',
    `${file} holds no Ed25519 key: put the right file back before the next start, which makes a new key that stores do not trust`,
  );
}
