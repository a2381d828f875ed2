/** What the doctor thinks of the truck's store and the key beside it. Reads only, through connections that cannot write. */
import { createPrivateKey } from 'node:crypto';
import { accessSync, constants, existsSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { holdersOf, parseLocks } from '#core/program/file-locks';
import { type Finding, finding } from '#core/program/finding';
import { KEY_FILE } from '../seal/dashboard-key.ts';
import { LAYOUT } from '../store/migrations.ts';
import { setAsideIn } from '../store/set-aside.ts';
import { checkAtStart } from '../store/start-check.ts';

export interface StoreLook {
  readonly findings: readonly Finding[];
  /** When the newest record came, UTC ms; null where none can be read. */
  readonly newestUtcMs: number | null;
}

/** The process that has the store open (SQLite locks the index of its log for that long); null where none has. */
export function runningDashboard(directory: string, proc = '/proc'): number | null {
  try {
    const { dev, ino } = statSync(join(directory, 'dashboard.sqlite3-shm'));
    const holders = holdersOf(parseLocks(readFileSync(`${proc}/locks`, 'utf8')), { dev, ino });
    return holders.find(({ pid }) => pid > 0 && pid !== process.pid)?.pid ?? null;
  } catch {
    return null;
  }
}

export function lookAtStore(directory: string, runningPid: number | null): StoreLook {
  const file = join(directory, 'dashboard.sqlite3');
  const key = keyFinding(directory);
  const code = whyNotOpened(file);
  if (code === 'ENOENT') {
    const text = `there is no store ${file} yet: the first start makes it; if a dashboard runs already, data is not the directory that it uses`;
    return { findings: [finding('store', 'look', text), key], newestUtcMs: null };
  }
  if (code !== null) {
    const text = `this user cannot open ${file} (${code}): run this as the user of the service`;
    return { findings: [finding('store', 'stop', text), key], newestUtcMs: null };
  }
  const look = lookInside(file, runningPid);
  return { ...look, findings: [...look.findings, ...asides(directory), key] };
}

function whyNotOpened(file: string): string | null {
  try {
    accessSync(file, constants.R_OK);
    return null;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code ?? String(error);
  }
}

function lookInside(file: string, runningPid: number | null): StoreLook {
  try {
    checkAtStart({ sqlite: Database, file, usedBefore: true, monotonicMs: () => performance.now() });
    const db = new Database(file, { readonly: true, fileMustExist: true });
    try {
      return facts(db, file, runningPid);
    } finally {
      db.close();
    }
  } catch (error) {
    const { code, message } = error as { code?: string; message: string };
    const text = `${file} is damaged (${code ?? message}): start the dashboard, which moves it aside and goes on, then restore the newest backup`;
    return { findings: [finding('store', 'stop', text)], newestUtcMs: null };
  }
}

function facts(db: Database.Database, file: string, runningPid: number | null): StoreLook {
  db.pragma('trusted_schema = OFF');
  db.pragma('busy_timeout = 2000');
  const layout = Number(db.pragma('user_version', { simple: true }));
  if (layout > LAYOUT) {
    const text = `${file} was written by a newer Girthlog (layout ${layout}, this one knows ${LAYOUT}): use that one, or see docs/install.md on going back`;
    return { findings: [finding('store', 'stop', text)], newestUtcMs: null };
  }
  if (layout < LAYOUT) {
    const text = `${file} has layout ${layout}: the next start keeps a copy beside it and brings it to ${LAYOUT}; it needs room for up to three times the store`;
    return { findings: [finding('store', 'look', text)], newestUtcMs: null };
  }
  const records = db.prepare('SELECT count(*) FROM records').pluck().get() as number;
  const newest = db.prepare('SELECT max(last_received) FROM streams').pluck().get() as string | null;
  const held = runningPid === null ? 'no dashboard has it open' : `open in process ${runningPid}`;
  const size = (statSync(file).size / 1e6).toFixed(1);
  return {
    findings: [
      finding('store', 'ok', `layout ${layout}, ${records} records in ${size} MB, the newest fit; ${held}`),
    ],
    newestUtcMs: newest === null || Number.isNaN(Date.parse(newest)) ? null : Date.parse(newest),
  };
}

function asides(directory: string): Finding[] {
  const moved = setAsideIn(directory);
  if (moved.length === 0) return [];
  const text = `${moved.length} damaged stores lie beside it (${moved.at(-1)}): restore what they held from a backup, then move them away`;
  return [finding('store', 'look', text)];
}

function keyFinding(directory: string): Finding {
  const file = join(directory, KEY_FILE);
  if (!existsSync(file)) {
    return finding(
      'signing key',
      'look',
      `there is no key ${file} that this user can see: the first start makes it`,
    );
  }
  if ((statSync(file).mode & 0o077) !== 0) {
    return finding(
      'signing key',
      'stop',
      `others can read ${file}: chmod 400 it, and ask who may have copied it`,
    );
  }
  try {
    if (createPrivateKey(readFileSync(file)).asymmetricKeyType === 'ed25519') {
      return finding('signing key', 'ok', `${file} is an Ed25519 key that only its owner can read`);
    }
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EACCES') {
      return finding(
        'signing key',
        'stop',
        `this user cannot read ${file}: run this as the user of the service`,
      );
    }
  }
  return finding(
    'signing key',
    'stop',
    `${file} holds no Ed25519 key: put back a copy of it, or move it aside and a new one is made`,
  );
}
