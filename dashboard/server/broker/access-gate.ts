/** Who a client of the broker is, and what it may do. Decides only; the broker acts. */
import { createHash, timingSafeEqual } from 'node:crypto';
import {
  ANYONE,
  identityOf,
  mayBeCalled,
  mayPublish,
  type Principal,
  principalOf,
} from '#core/topics/access';
import type { BrokerAccess, Credential, Trespass } from './protocol.ts';

/** What a client shows when it connects. */
export interface Shown {
  /** Of a certificate that our authority signed; null without one. */
  readonly certificate: { readonly commonName: string; readonly serial: string } | null;
  readonly username: string | null;
  readonly password: Uint8Array | null;
  readonly clientId: string;
  readonly willTopic: string | null;
}

export interface Admitted {
  readonly principal: Principal;
  /** What admitted it: it stays as long as this is still valid. Null for anyone. */
  readonly credential: Credential | null;
}

/** Not let in: known or not. */
export type Refusal =
  | { readonly cause: 'notAuthorised'; readonly identity: string | null }
  | { readonly cause: 'trespass'; readonly trespass: Trespass };

export class AccessGate {
  private access: BrokerAccess;

  constructor(access: BrokerAccess) {
    this.access = access;
  }

  set(access: BrokerAccess): void {
    this.access = access;
  }

  admit(shown: Shown): Admitted | Refusal {
    const showsNothing = shown.certificate === null && shown.username === null && shown.password === null;
    if (showsNothing && this.access.isOpen) return { principal: ANYONE, credential: null };
    const credential = this.credentialOf(shown);
    const principal = credential && principalOf(credential.identity);
    if (!principal) {
      const identity = shown.certificate?.commonName ?? shown.username;
      return { cause: 'notAuthorised', identity };
    }
    const identity = identityOf(principal);
    if (!mayBeCalled(principal, shown.clientId)) {
      return { cause: 'trespass', trespass: { identity, what: 'clientId', name: shown.clientId } };
    }
    if (shown.willTopic !== null && !mayPublish(principal, shown.willTopic)) {
      return { cause: 'trespass', trespass: { identity, what: 'lastWill', name: shown.willTopic } };
    }
    return { principal, credential };
  }

  /** May one that was let in stay? */
  holds({ credential }: Admitted): boolean {
    if (credential === null) return this.access.isOpen;
    return this.access.credentials.some(
      one => one.identity === credential.identity && proofOf(one) === proofOf(credential),
    );
  }

  private credentialOf({ certificate, username, password }: Shown): Credential | null {
    if (certificate) {
      const isThis = (one: Credential): boolean =>
        one.kind === 'certificate' &&
        one.identity === certificate.commonName &&
        one.serial === certificate.serial;
      return this.access.credentials.find(isThis) ?? null;
    }
    if (username === null || password === null) return null;
    const hash = createHash('sha256').update(password).digest();
    const isThis = (one: Credential): boolean =>
      one.kind === 'secret' &&
      one.identity === username &&
      timingSafeEqual(Buffer.from(one.hash, 'hex'), hash);
    return this.access.credentials.find(isThis) ?? null;
  }
}

const proofOf = (one: Credential): string => (one.kind === 'certificate' ? one.serial : one.hash);
