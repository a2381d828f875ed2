/** Programs that enter things: each has a token, given to both sides by the environment, and the rights it was given. */
import { timingSafeEqual } from 'node:crypto';
import type { Right } from '#core/messages/api-account';
import { sha256Hex } from '../seal/ed25519.ts';

export interface ProgramAccount {
  readonly name: string;
  readonly token: string;
  readonly rights: readonly Right[];
}

/** Letters of a token at least: 128 bits in base64url. */
export const TOKEN_LEAST = 22;

export class ProgramAccounts {
  private readonly known: readonly {
    readonly name: string;
    readonly hash: Buffer;
    readonly rights: ReadonlySet<Right>;
  }[];

  constructor(accounts: readonly ProgramAccount[]) {
    this.known = accounts.map(({ name, token, rights }) => ({
      name,
      hash: hashOf(token),
      rights: new Set(rights),
    }));
  }

  find(token: string): { readonly name: string; readonly rights: ReadonlySet<Right> } | null {
    const hash = hashOf(token);
    return this.known.find(one => timingSafeEqual(one.hash, hash)) ?? null;
  }
}

// Hashes are of one length, so that the time says nothing of the token's.
const hashOf = (token: string): Buffer => Buffer.from(sha256Hex(token), 'hex');
