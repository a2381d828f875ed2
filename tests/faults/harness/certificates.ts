/** A small certificate authority for one test: good, expired, foreign and revoked certificates. */
import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { isMissing } from '../../support/programs.ts';
import { tempDir } from '../../support/temp-dir.ts';

/** For `describe.skipIf`. */
export const opensslMissing = isMissing('openssl', 'apt-get install openssl');

export interface Certificate {
  readonly cert: string;
  readonly key: string;
}

export interface CertificateAuthority {
  readonly cert: string;
  /** `expired`: its time ended yesterday. */
  issue(name: string, subjectAltName: string, expired?: boolean): Certificate;
  /** The list of what is revoked so far, after revoking `certificate` if given. */
  revoked(certificate?: Certificate): string;
}

const CONFIG = `[ca]
default_ca = own
[own]
dir = .
database = ./index
serial = ./serial
new_certs_dir = ./issued
certificate = ./ca.pem
private_key = ./ca.key
default_md = sha256
default_days = 30
default_crl_days = 30
policy = any
copy_extensions = copy
unique_subject = no
[any]
commonName = supplied
[req]
distinguished_name = nothing
[nothing]
[authority]
basicConstraints = critical, CA:true
keyUsage = critical, keyCertSign, cRLSign
subjectKeyIdentifier = hash
`;

export function makeAuthority(): CertificateAuthority {
  const dir = tempDir();
  const openssl = (...args: string[]): void => {
    execFileSync('openssl', args, { cwd: dir, stdio: ['ignore', 'ignore', 'pipe'] });
  };
  mkdirSync(join(dir, 'issued'));
  writeFileSync(join(dir, 'config'), CONFIG);
  writeFileSync(join(dir, 'index'), '');
  writeFileSync(join(dir, 'serial'), '1000\n');
  const key = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes'];
  openssl(
    ...['req', '-x509', ...key, '-config', 'config', '-extensions', 'authority', '-days', '30'],
    ...['-subj', '/CN=test authority', '-keyout', 'ca.key', '-out', 'ca.pem'],
  );
  const stamp = (daysFromNow: number): string =>
    `${new Date(Date.now() + daysFromNow * 86_400_000).toISOString().replace(/[-:T]/g, '').slice(2, 14)}Z`;
  let lists = 0;
  return {
    cert: join(dir, 'ca.pem'),
    issue: (name, subjectAltName, expired = false) => {
      openssl(
        ...['req', ...key, '-config', 'config', '-subj', `/CN=${name}`],
        ...['-addext', `subjectAltName=${subjectAltName}`, '-keyout', `${name}.key`, '-out', `${name}.csr`],
      );
      const time = expired ? ['-startdate', stamp(-9), '-enddate', stamp(-1)] : [];
      openssl('ca', '-batch', '-config', 'config', ...time, '-in', `${name}.csr`, '-out', `${name}.pem`);
      return { cert: join(dir, `${name}.pem`), key: join(dir, `${name}.key`) };
    },
    revoked: certificate => {
      if (certificate) openssl('ca', '-config', 'config', '-revoke', certificate.cert);
      const list = `revoked-${++lists}.pem`;
      openssl('ca', '-config', 'config', '-gencrl', '-out', list);
      return join(dir, list);
    },
  };
}
