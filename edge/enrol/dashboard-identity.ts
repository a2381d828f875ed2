/**
 * Whom a board speaks to before it trusts anyone: the certificates a dashboard shows, read without believing them. What is
 * at the end of that chain is compared, by fingerprint, with what the truck shows; only then is a code sent.
 */
import { X509Certificate } from 'node:crypto';
import { connect, type DetailedPeerCertificate } from 'node:tls';
import { EXIT, ProgramError } from '#core/program/program-error';

const LIMIT_MS = 10_000;

export interface ShownAuthority {
  /** PEM. */
  readonly certificate: string;
  /** SHA-256, AB:CD:… */
  readonly fingerprint: string;
}

/** Throws ProgramError. */
export function shownAuthority(url: URL): Promise<ShownAuthority> {
  const port = url.port === '' ? 443 : Number(url.port);
  const host = url.hostname.replace(/^\[(.*)\]$/, '$1');
  return new Promise((resolve, reject) => {
    const socket = connect({ host, port, servername: nameOf(host), rejectUnauthorized: false }, () => {
      const last = lastOf(socket.getPeerCertificate(true));
      socket.destroy();
      const certificate = new X509Certificate(last.raw);
      resolve({ certificate: certificate.toString(), fingerprint: certificate.fingerprint256 });
    });
    socket.setTimeout(LIMIT_MS, () => socket.destroy(new Error('no answer')));
    socket.on('error', (error: NodeJS.ErrnoException) =>
      reject(
        new ProgramError(`${url.origin} cannot be reached (${error.code ?? error.message})`, EXIT.network),
      ),
    );
  });
}

/** Colons, spaces and capitals do not matter; at least 16 hex digits must be given. */
export function isSameFingerprint(shown: string, given: string): boolean {
  const plain = (text: string): string => text.toUpperCase().replaceAll(/[^0-9A-F]/g, '');
  const [is, wanted] = [plain(shown), plain(given)];
  return wanted.length >= 16 && is.startsWith(wanted);
}

/** An address has no server name in TLS. */
function nameOf(host: string): string {
  return /^[\d.]+$|:/.test(host) ? '' : host;
}

function lastOf(peer: DetailedPeerCertificate): DetailedPeerCertificate {
  let last = peer;
  const seen = new Set<string>();
  while (last.issuerCertificate && !seen.has(last.fingerprint256)) {
    seen.add(last.fingerprint256);
    last = last.issuerCertificate;
  }
  return last;
}
