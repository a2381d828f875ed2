import { type SignedEntry, signedEntryText } from '#core/journal/signed-entry';
import type { SignatureState } from '#core/messages/api-disposition';
import { isSignedBy, sha256Hex } from './ed25519.ts';

/** How one entry stands against its own hash and signature; `own`: public keys of the dashboard by fingerprint. */
export function signatureState(signed: SignedEntry | null, own: ReadonlyMap<string, string>): SignatureState {
  if (!signed) return 'unsigned';
  const text = textOf(signed);
  if (text === null || sha256Hex(text) !== signed.hash) return 'otherContent';
  const key = own.get(signed.document.key);
  if (key === undefined) return 'otherKey';
  return isSignedBy(key, text, signed.signature) ? 'holds' : 'otherSignature';
}

/** Null where a text of it was broken after it was signed. */
function textOf({ document }: SignedEntry): string | null {
  try {
    return signedEntryText(document);
  } catch {
    return null;
  }
}
