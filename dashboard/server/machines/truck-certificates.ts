/**
 * Keys and certificates of this truck, in `tls/` of the data directory: its own authority (`authority.pem`, `.key`) and
 * the server certificate it signs (`server.pem`, `.key`), made where there are none, made again before the certificate
 * ends and when the machine has got a name or an address that it does not bear. Given files are read as they are.
 */

import { createPrivateKey, X509Certificate } from 'node:crypto';
import { closeSync, existsSync, fchmodSync, fstatSync, mkdirSync, openSync, statSync } from 'node:fs';
import { hostname, networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { EXIT, ProgramError } from '#core/program/program-error';
import { giveToOwner } from '../give-to-owner.ts';
import { readTextFile } from '../read-text-file.ts';
import type { Settings } from '../settings.ts';
import { writeWhole } from '../write-whole.ts';
import { issueServer, type KeyAndCertificate, makeAuthority, makeMachine } from './certificate-authority.ts';

const DAY_MS = 86_400_000;
/** A server certificate lasts this long and is made again when this much is left. Our own choice. */
const SERVER_DAYS = 90;
const RENEW_DAYS = 30;
/** A dashboard's own certificate for an external broker; looked at when it starts. */
const STORE_DAYS = 5 * 365;

export interface ServerIdentity {
  readonly key: string;
  /** With those that lead to its authority. */
  readonly certificate: string;
  /** What machines are told to trust, PEM. */
  readonly authority: string;
  readonly endsAt: Date;
  readonly isGiven: boolean;
}

export interface TruckCertificatesOptions {
  readonly settings: Pick<Settings, 'data' | 'hostNames' | 'tlsCertificate' | 'tlsKey' | 'tlsAuthority'>;
  readonly now: () => Date;
  /** Names and addresses this machine can be asked by. */
  readonly ownNames?: () => readonly string[];
}

export class TruckCertificates {
  readonly directory: string;
  private readonly options: TruckCertificatesOptions;

  constructor(options: TruckCertificatesOptions) {
    this.options = options;
    this.directory = join(options.settings.data, 'tls');
  }

  /** The truck's own authority, made where there is none. Throws ProgramError. */
  async authority(): Promise<KeyAndCertificate> {
    const files = this.filesOf('authority');
    const known = this.read(files);
    if (known) return known;
    const made = await makeAuthority(`Girthlog ${hostname()}`.slice(0, 64), this.options.now());
    this.write(files, made);
    return made;
  }

  /** What the truck shows whoever connects: the given files, or its own certificate, renewed where it must be. */
  async server(): Promise<ServerIdentity> {
    const { tlsCertificate, tlsKey } = this.options.settings;
    if (tlsCertificate !== null && tlsKey !== null) return this.given(tlsCertificate, tlsKey);
    const authority = await this.authority();
    const files = this.filesOf('server');
    let pair = this.read(files);
    if (!pair || this.isToBeMadeAgain(pair.certificate, authority.certificate)) {
      pair = await issueServer(authority, this.names(), this.options.now(), SERVER_DAYS);
      this.write(files, pair);
    }
    return {
      key: pair.key,
      certificate: pair.certificate + authority.certificate,
      authority: authority.certificate,
      endsAt: endOf(pair.certificate),
      isGiven: false,
    };
  }

  /** This dashboard's own certificate for an external broker, signed by the truck's authority. */
  async store(identity: string): Promise<KeyAndCertificate> {
    const authority = await this.authority();
    const files = this.filesOf('store');
    const known = this.read(files);
    if (known && !this.isEnding(known.certificate) && isSignedBy(known.certificate, authority.certificate)) {
      return known;
    }
    const made = await makeMachine(authority, identity, this.options.now(), STORE_DAYS);
    this.write(files, made);
    return made;
  }

  /** Has the truck an authority yet? */
  get hasAuthority(): boolean {
    return existsSync(this.filesOf('authority').key);
  }

  private given(certificateFile: string, keyFile: string): ServerIdentity {
    const { tlsAuthority } = this.options.settings;
    const certificate = readTextFile(certificateFile);
    const key = readTextFile(keyFile);
    let first: X509Certificate;
    try {
      first = new X509Certificate(certificate);
    } catch {
      throw new ProgramError(`${certificateFile} does not hold a certificate (PEM).`, EXIT.configuration);
    }
    try {
      if (!first.checkPrivateKey(createPrivateKey(key))) throw new Error('another key');
    } catch {
      throw new ProgramError(`${keyFile} is not the key of ${certificateFile}.`, EXIT.configuration);
    }
    return {
      key,
      certificate,
      authority: tlsAuthority === null ? lastOf(certificate) : readTextFile(tlsAuthority),
      endsAt: endOf(certificate),
      isGiven: true,
    };
  }

  private isToBeMadeAgain(certificate: string, authority: string): boolean {
    if (this.isEnding(certificate) || !isSignedBy(certificate, authority)) return true;
    const borne = new X509Certificate(certificate).subjectAltName ?? '';
    const bears = borne.split(', ').map(name => name.replace(/^(DNS|IP Address):/, '').toLowerCase());
    return this.names().some(name => !bears.includes(written(name)));
  }

  private isEnding(certificate: string): boolean {
    return endOf(certificate).getTime() - this.options.now().getTime() < RENEW_DAYS * DAY_MS;
  }

  private names(): string[] {
    const own = (this.options.ownNames ?? namesOfThisMachine)();
    return [...new Set([...this.options.settings.hostNames, ...own].map(name => name.toLowerCase()))];
  }

  private filesOf(name: string): { key: string; certificate: string } {
    return { key: join(this.directory, `${name}.key`), certificate: join(this.directory, `${name}.pem`) };
  }

  private read(files: { key: string; certificate: string }): KeyAndCertificate | null {
    if (!existsSync(files.key) || !existsSync(files.certificate)) return null;
    if ((statSync(files.key).mode & 0o077) !== 0) closeToOthers(files.key, this.directory);
    return { key: readTextFile(files.key), certificate: readTextFile(files.certificate) };
  }

  private write(files: { key: string; certificate: string }, pair: KeyAndCertificate): void {
    if (!existsSync(this.directory)) {
      mkdirSync(this.directory, { recursive: true, mode: 0o700 });
      giveToOwner(this.directory);
    }
    writeWhole(files.key, pair.key, 0o400);
    writeWhole(files.certificate, pair.certificate, 0o444);
  }
}

/** A key of the folder's owner; what a link there leads to may be another's, and root may be who runs this. */
function closeToOthers(key: string, directory: string): void {
  const handle = openSync(key, 'r');
  try {
    const { mode, uid } = fstatSync(handle);
    if ((mode & 0o077) !== 0 && uid === statSync(directory).uid) fchmodSync(handle, 0o400);
  } finally {
    closeSync(handle);
  }
}

export function endOf(certificate: string): Date {
  return new Date(new X509Certificate(certificate).validTo);
}

/** The host's name, that with .local, localhost, and every address. */
export function namesOfThisMachine(): string[] {
  const addresses = Object.values(networkInterfaces()).flatMap(list => list ?? []);
  const name = hostname();
  return [
    'localhost',
    name,
    ...(name.includes('.') ? [] : [`${name}.local`]),
    ...addresses.map(({ address }) => address).filter(address => !address.startsWith('fe80:')),
    '127.0.0.1',
  ];
}

/** An address as a certificate shows it: IPv6 in full groups. */
function written(name: string): string {
  if (!name.includes(':')) return name;
  const [head = '', tail = ''] = name.split('::');
  const before = head === '' ? [] : head.split(':');
  const after = tail === '' ? [] : tail.split(':');
  const zeros = name.includes('::') ? Array(8 - before.length - after.length).fill('0') : [];
  return [...before, ...zeros, ...after].map(group => group.replace(/^0+(?=.)/, '')).join(':');
}

function isSignedBy(certificate: string, authority: string): boolean {
  return new X509Certificate(certificate).verify(new X509Certificate(authority).publicKey);
}

/** The last certificate of a chain, which leads to its authority. */
function lastOf(chain: string): string {
  const all = chain.match(/-----BEGIN CERTIFICATE-----[\s\S]*?-----END CERTIFICATE-----/g) ?? [chain];
  return `${all.at(-1)}\n`;
}
