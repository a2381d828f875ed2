/**
 * Commands that root runs beside a service's store: a service that was taken over may have put a link where root is
 * about to make something and give it away.
 */
import { chmodSync, chownSync, lstatSync, mkdirSync, statSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { giveToOwner } from '../../dashboard/server/give-to-owner.ts';
import { MachineTable } from '../../dashboard/server/machines/machine-table.ts';
import { giveTo, keepEnrolment } from '../../edge/enrol/enrolment-folder.ts';
import { openSealKey, readSealKey } from '../../edge/seal/seal-key.ts';
import { tempDir } from '../support/temp-dir.ts';

/** "nobody", as far as numbers go. */
const SERVICE = 65_534;
const isRoot = process.getuid?.() === 0;

/** A folder of the service, and in it a link of that name to a file of root's. */
function trap(name: string) {
  const dir = tempDir();
  const victim = join(dir, 'of-root');
  writeFileSync(victim, 'only root may change this', { mode: 0o644 });
  const folder = join(dir, 'service');
  mkdirSync(folder);
  const link = join(folder, name);
  symlinkSync(victim, link);
  if (isRoot) chownSync(folder, SERVICE, SERVICE);
  return { folder, link, victim, mode: statSync(victim).mode };
}

describe('a link to a file of root', () => {
  it.runIf(isRoot)('is given to the service, not what it leads to', () => {
    for (const give of [giveToOwner, (path: string) => giveTo(path, join(path, '..'))]) {
      const { link, victim } = trap('machines.sqlite3');
      give(link);
      expect(lstatSync(link).uid).toBe(SERVICE);
      expect(statSync(victim).uid).toBe(0);
    }
  });

  it('in the place of the list of machines is not followed', () => {
    const { folder, victim, mode } = trap('machines.sqlite3');
    expect(() => new MachineTable(Sqlite, folder)).toThrow(/cannot be opened \(ELOOP\)/);
    expect(statSync(victim)).toMatchObject({ mode, uid: process.getuid?.() });
  });

  it.runIf(isRoot)('in the place of a key stays as open as it was', () => {
    const { folder, link, victim, mode } = trap('store.sqlite3.key');
    const opened = openSealKey(link);
    expect(opened.damaged?.movedTo).toBe(`${link}.unreadable`);
    expect(statSync(victim).mode).toBe(mode);
    expect(lstatSync(link).isFile()).toBe(true);
    // One that the service has left open is closed.
    chmodSync(link, 0o444);
    chownSync(link, SERVICE, SERVICE);
    expect(readSealKey(join(folder, 'store.sqlite3.key')).modeFixed).toBe(true);
    expect(statSync(link).mode & 0o777).toBe(0o400);
  });

  it.runIf(isRoot)('and what a board was given belongs to the service all the same', () => {
    const { folder } = trap('other');
    const about = {
      schema: 'girthlog.enrolment-kept/1',
      site: 'spread-1',
      rig: 'rig-a',
      url: 'mqtts://truck-1:8883',
      dashboard: 'https://truck-1:8443',
      enrolledAt: '2026-05-12T06:00:00.000Z',
      username: null,
      endsAt: null,
    } as const;
    const kept = keepEnrolment(join(folder, 'store.sqlite3'), about, { 'key.pem': 'a key' });
    for (const path of [kept, join(kept, 'key.pem'), join(kept, 'enrolment.json')]) {
      expect(statSync(path).uid, path).toBe(SERVICE);
    }
    expect(statSync(join(kept, 'key.pem')).mode & 0o777).toBe(0o400);
  });
});
