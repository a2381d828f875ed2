/**
 * The truck's own certificate authority: it signs the truck's server certificate and those of the machines enrolled
 * here, and nothing else. ECDSA P-256 with SHA-256; certificates as RFC 5280 says (basic constraints, key usage,
 * key identifiers), names of a server in subjectAltName (RFC 6125).
 */
import { createPublicKey, randomBytes, webcrypto, X509Certificate } from 'node:crypto';
import { isIP } from 'node:net';

const DAY_MS = 86_400_000;
const CURVE = { name: 'ECDSA', namedCurve: 'P-256' } as const;
const SIGNATURE = { name: 'ECDSA', hash: 'SHA-256' } as const;
/** The authority outlives the machines it signs for. Our own choice. */
const AUTHORITY_DAYS = 20 * 365;
/** Clocks of boards may be behind by a little. */
const BACKDATED_MS = DAY_MS;

export interface KeyAndCertificate {
  /** PEM, PKCS 8. */
  readonly key: string;
  /** PEM. */
  readonly certificate: string;
}

export interface RevokedSerial {
  /** Hex. */
  readonly serial: string;
  readonly at: Date;
}

/** Loaded only where certificates are made: it takes a while. */
async function library() {
  await import('reflect-metadata');
  return await import('@peculiar/x509');
}

export async function makeAuthority(name: string, now: Date): Promise<KeyAndCertificate> {
  const x509 = await library();
  const keys = await newKeys();
  const certificate = await x509.X509CertificateGenerator.createSelfSigned({
    serialNumber: newSerial(),
    name: [{ CN: [name] }],
    notBefore: new Date(now.getTime() - BACKDATED_MS),
    notAfter: new Date(now.getTime() + AUTHORITY_DAYS * DAY_MS),
    keys,
    signingAlgorithm: SIGNATURE,
    extensions: [
      new x509.BasicConstraintsExtension(true, 0, true),
      new x509.KeyUsagesExtension(x509.KeyUsageFlags.keyCertSign | x509.KeyUsageFlags.cRLSign, true),
      await x509.SubjectKeyIdentifierExtension.create(keys.publicKey),
    ],
  });
  return { key: await pemOf(keys.privateKey), certificate: `${certificate.toString('pem')}\n` };
}

/** A certificate for a server that is asked by `names`: host names and addresses. */
export async function issueServer(
  authority: KeyAndCertificate,
  names: readonly string[],
  now: Date,
  days: number,
): Promise<KeyAndCertificate> {
  const x509 = await library();
  const keys = await newKeys();
  const certificate = await issue(authority, {
    commonName: names.find(name => isIP(name) === 0) ?? 'girthlog',
    publicKey: keys.publicKey,
    usage: x509.ExtendedKeyUsage.serverAuth,
    names,
    now,
    days,
  });
  return { key: await pemOf(keys.privateKey), certificate };
}

/** A certificate for a machine whose public key (SPKI, PEM) this is; its identity is the common name. */
export async function issueMachine(
  authority: KeyAndCertificate,
  identity: string,
  publicKeyPem: string,
  now: Date,
  days: number,
): Promise<string> {
  const x509 = await library();
  const spki = createPublicKey(publicKeyPem).export({ format: 'der', type: 'spki' });
  const publicKey = await webcrypto.subtle.importKey('spki', spki, CURVE, true, ['verify']);
  const usage = x509.ExtendedKeyUsage.clientAuth;
  return await issue(authority, { commonName: identity, publicKey, usage, names: [], now, days });
}

/** Key and certificate for a program on this machine. */
export async function makeMachine(
  authority: KeyAndCertificate,
  identity: string,
  now: Date,
  days: number,
): Promise<KeyAndCertificate> {
  const keys = await newKeys();
  const spki = Buffer.from(await webcrypto.subtle.exportKey('spki', keys.publicKey));
  const publicKey = createPublicKey({ key: spki, format: 'der', type: 'spki' });
  const pem = publicKey.export({ format: 'pem', type: 'spki' }).toString();
  return {
    key: await pemOf(keys.privateKey),
    certificate: await issueMachine(authority, identity, pem, now, days),
  };
}

/** The list of what the authority has taken back (RFC 5280, section 5), PEM. */
export async function revocationList(
  authority: KeyAndCertificate,
  revoked: readonly RevokedSerial[],
  now: Date,
  days: number,
): Promise<string> {
  const x509 = await library();
  const list = await x509.X509CrlGenerator.create({
    issuer: new x509.X509Certificate(authority.certificate).subject,
    thisUpdate: new Date(now.getTime() - BACKDATED_MS),
    nextUpdate: new Date(now.getTime() + days * DAY_MS),
    signingAlgorithm: SIGNATURE,
    signingKey: await signingKeyOf(authority),
    entries: revoked.map(({ serial, at }) => ({ serialNumber: serial, revocationDate: at })),
  });
  return pem('X509 CRL', list.rawData);
}

interface Wish {
  readonly commonName: string;
  readonly publicKey: webcrypto.CryptoKey;
  readonly usage: string;
  readonly names: readonly string[];
  readonly now: Date;
  readonly days: number;
}

async function issue(authority: KeyAndCertificate, wish: Wish): Promise<string> {
  const x509 = await library();
  const issuer = new x509.X509Certificate(authority.certificate);
  const names = wish.names.map(value => ({ type: isIP(value) === 0 ? 'dns' : 'ip', value }) as const);
  const end = wish.now.getTime() + wish.days * DAY_MS;
  const certificate = await x509.X509CertificateGenerator.create({
    serialNumber: newSerial(),
    issuer: issuer.subject,
    subject: [{ CN: [wish.commonName] }],
    notBefore: new Date(wish.now.getTime() - BACKDATED_MS),
    notAfter: new Date(Math.min(end, issuer.notAfter.getTime())),
    publicKey: wish.publicKey,
    signingKey: await signingKeyOf(authority),
    signingAlgorithm: SIGNATURE,
    extensions: [
      new x509.BasicConstraintsExtension(false, undefined, true),
      new x509.KeyUsagesExtension(x509.KeyUsageFlags.digitalSignature, true),
      new x509.ExtendedKeyUsageExtension([wish.usage]),
      ...(names.length > 0 ? [new x509.SubjectAlternativeNameExtension(names)] : []),
      await x509.SubjectKeyIdentifierExtension.create(wish.publicKey),
      await x509.AuthorityKeyIdentifierExtension.create(await issuer.publicKey.export()),
    ],
  });
  return `${certificate.toString('pem')}\n`;
}

async function newKeys(): Promise<webcrypto.CryptoKeyPair> {
  return await webcrypto.subtle.generateKey(CURVE, true, ['sign', 'verify']);
}

/** Positive, 126 bits of randomness (RFC 5280, 4.1.2.2: at most 20 bytes, never negative). */
function newSerial(): string {
  const bytes = randomBytes(16);
  bytes[0] = (bytes[0]! & 0x3f) | 0x40;
  return bytes.toString('hex');
}

async function signingKeyOf({ key }: KeyAndCertificate): Promise<webcrypto.CryptoKey> {
  const der = Buffer.from(key.replaceAll(/-----[^-]+-----|\s/g, ''), 'base64');
  return await webcrypto.subtle.importKey('pkcs8', der, CURVE, false, ['sign']);
}

async function pemOf(key: webcrypto.CryptoKey): Promise<string> {
  return pem('PRIVATE KEY', await webcrypto.subtle.exportKey('pkcs8', key));
}

/** RFC 7468. */
function pem(label: string, der: ArrayBuffer): string {
  const lines =
    Buffer.from(der)
      .toString('base64')
      .match(/.{1,64}/g) ?? [];
  return `-----BEGIN ${label}-----\n${lines.join('\n')}\n-----END ${label}-----\n`;
}

/** SHA-256 of a certificate's bytes, as people compare it: AB:CD:… */
export function certificateFingerprint(pem: string): string {
  return new X509Certificate(pem).fingerprint256;
}
