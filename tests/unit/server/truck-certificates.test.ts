/** Certificates as OpenSSL reads them: the reference is another program, not the library that made them. */
import { execFileSync } from 'node:child_process';
import { X509Certificate } from 'node:crypto';
import { chownSync, existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Sqlite from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import {
  issueServer,
  makeAuthority,
  makeMachine,
  revocationList,
} from '../../../dashboard/server/machines/certificate-authority.ts';
import { certificateCondition } from '../../../dashboard/server/machines/certificate-condition.ts';
import { MachineTable } from '../../../dashboard/server/machines/machine-table.ts';
import { TruckCertificates } from '../../../dashboard/server/machines/truck-certificates.ts';
import { isMissing } from '../../support/programs.ts';
import { tempDir } from '../../support/temp-dir.ts';

const opensslMissing = isMissing('openssl', 'apt-get install openssl');
const DAY_MS = 86_400_000;
const GIVEN = { hostNames: ['truck-1'], tlsCertificate: null, tlsKey: null, tlsAuthority: null };

function openssl(dir: string, ...args: string[]): string {
  return execFileSync('openssl', args, { cwd: dir, encoding: 'utf8', stdio: ['ignore', 'pipe', 'pipe'] });
}

describe.skipIf(opensslMissing)('certificates made here, read by OpenSSL', () => {
  it('lead to their authority, each for its purpose only, and fall under the list of what was taken back', async () => {
    const now = new Date();
    const dir = tempDir();
    const put = (name: string, text: string): void => writeFileSync(join(dir, name), text);
    const authority = await makeAuthority('Test truck', now);
    const server = await issueServer(authority, ['truck-1', '10.0.0.2', '::1'], now, 90);
    const [one, two] = [
      await makeMachine(authority, 'spread-1/rig-a', now, 30),
      await makeMachine(authority, 'spread-1/rig-b', now, 30),
    ];
    const serial = new X509Certificate(one.certificate).serialNumber;
    put('ca.pem', authority.certificate);
    put('server.pem', server.certificate);
    put('one.pem', one.certificate);
    put('two.pem', two.certificate);
    put('crl.pem', await revocationList(authority, [{ serial, at: now }], now, 30));
    const verify = (file: string, purpose: string, ...more: string[]): string =>
      openssl(dir, 'verify', '-x509_strict', '-CAfile', 'ca.pem', '-purpose', purpose, ...more, file);
    expect(verify('server.pem', 'sslserver')).toBe('server.pem: OK\n');
    expect(verify('server.pem', 'sslserver', '-verify_hostname', 'truck-1')).toBe('server.pem: OK\n');
    expect(verify('server.pem', 'sslserver', '-verify_ip', '10.0.0.2')).toBe('server.pem: OK\n');
    expect(verify('server.pem', 'sslserver', '-verify_ip', '::1')).toBe('server.pem: OK\n');
    expect(() => verify('server.pem', 'sslserver', '-verify_hostname', 'truck-2')).toThrow();
    expect(() => verify('server.pem', 'sslclient')).toThrow(/purpose/);
    expect(() => verify('one.pem', 'sslserver')).toThrow(/purpose/);
    expect(verify('two.pem', 'sslclient', '-crl_check', '-CRLfile', 'crl.pem')).toBe('two.pem: OK\n');
    expect(() => verify('one.pem', 'sslclient', '-crl_check', '-CRLfile', 'crl.pem')).toThrow(/revoked/);
    expect(openssl(dir, 'x509', '-in', 'one.pem', '-noout', '-subject')).toMatch(/CN ?= ?spread-1\/rig-a/);
    // A machine cannot sign another one.
    const forged = await makeMachine(one, 'spread-1/rig-b', now, 30);
    put('forged.pem', forged.certificate);
    expect(() => verify('forged.pem', 'sslclient', '-untrusted', 'one.pem')).toThrow();
  });
});

describe('the truck’s certificate', () => {
  it('is made once, kept readable by its user only, and made again a month before its end or for a new name', async () => {
    const data = tempDir();
    let nowMs = Date.parse('2026-05-12T08:00:00Z');
    let names = ['localhost', '127.0.0.1', '::1'];
    const open = () =>
      new TruckCertificates({
        settings: { ...GIVEN, data },
        now: () => new Date(nowMs),
        ownNames: () => names,
      }).server();
    const first = await open();
    expect(await open()).toEqual(first);
    for (const name of ['authority.key', 'server.key']) {
      expect(statSync(join(data, 'tls', name)).mode & 0o777).toBe(0o400);
    }
    expect(new X509Certificate(first.certificate).subjectAltName).toBe(
      'DNS:truck-1, DNS:localhost, IP Address:127.0.0.1, IP Address:0:0:0:0:0:0:0:1',
    );
    nowMs += 59 * DAY_MS;
    expect(await open()).toEqual(first);
    nowMs += 2 * DAY_MS;
    const second = await open();
    expect(second.certificate).not.toBe(first.certificate);
    expect(second.authority).toBe(first.authority);
    names = [...names, '192.168.4.7'];
    const third = await open();
    expect(third.certificate).not.toBe(second.certificate);
    // A name that is gone does no harm.
    names = names.slice(0, 2);
    expect(await open()).toEqual(third);
  });

  it('is the given one where files are given, which must belong together', async () => {
    const dir = tempDir();
    const now = new Date();
    const authority = await makeAuthority('Company', now);
    const { key, certificate } = await issueServer(authority, ['truck-1'], now, 20);
    const other = await issueServer(authority, ['truck-1'], now, 20);
    const files = { tlsCertificate: join(dir, 'c.pem'), tlsKey: join(dir, 'c.key'), tlsAuthority: null };
    writeFileSync(files.tlsCertificate, certificate + authority.certificate);
    writeFileSync(files.tlsKey, key);
    const open = () =>
      new TruckCertificates({ settings: { data: dir, hostNames: [], ...files }, now: () => now }).server();
    expect(await open()).toMatchObject({ authority: authority.certificate, isGiven: true });
    expect(existsSync(join(dir, 'tls'))).toBe(false);
    writeFileSync(files.tlsKey, other.key);
    await expect(open()).rejects.toThrow(/is not the key of/);
    writeFileSync(files.tlsCertificate, readFileSync(files.tlsKey));
    await expect(open()).rejects.toThrow(/does not hold a certificate/);
  });
});

describe('what root makes beside a service’s store', () => {
  it.skipIf(process.getuid?.() !== 0)('belongs to the service', async () => {
    const data = tempDir();
    chownSync(data, 1234, 1235);
    await new TruckCertificates({ settings: { ...GIVEN, data }, now: () => new Date() }).server();
    new MachineTable(Sqlite, data).close();
    const owners = ['tls', 'tls/authority.key', 'tls/server.pem', 'machines.sqlite3'].map(name => {
      const { uid, gid } = statSync(join(data, name));
      return [uid, gid];
    });
    expect(owners).toEqual(Array(4).fill([1234, 1235]));
  });
});

describe('certificates that end', () => {
  const nowMs = Date.parse('2026-05-12T08:00:00Z');
  const inDays = (days: number): string => new Date(nowMs + days * DAY_MS).toISOString();
  const machine = (rig: string, days: number, state: 'valid' | 'revoked' = 'valid') =>
    ({ site: 'spread-1', rig, state, endsAt: inDays(days) }) as const;

  it('are said while there is time, the first of them by name', () => {
    expect(certificateCondition(null, [machine('rig-a', 31)], nowMs)).toBeNull();
    expect(certificateCondition(null, [machine('rig-a', 3, 'revoked')], nowMs)).toBeNull();
    const said = certificateCondition(null, [machine('rig-a', 29), machine('rig-b', 5)], nowMs);
    expect(said).toMatchObject({ priority: 'high' });
    expect(said?.text).toContain('spread-1/rig-b ends on 2026-05-17, and 1 more');
  });

  it('of the truck count where the file was given: one made here is made again', () => {
    const server = { endsAt: new Date(nowMs + 10 * DAY_MS), isGiven: true };
    expect(certificateCondition(server, [], nowMs)).toMatchObject({ priority: 'medium' });
    expect(certificateCondition({ ...server, isGiven: false }, [], nowMs)).toBeNull();
  });
});
