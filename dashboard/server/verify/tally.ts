/** What a verification has looked at, and what is to be said of it though nothing is wrong. */
import type { VerifyReport } from '#core/messages/api-verify';

export class Tally {
  readonly checked: VerifyReport['checked'] = { streams: 0, records: 0, passes: 0, seals: 0, entries: 0 };
  readonly notes: string[] = [];
  private readonly fingerprints = new Map<string, Set<string>>();

  key(of: string, fingerprint: string): void {
    const known = this.fingerprints.get(of) ?? new Set();
    this.fingerprints.set(of, known.add(fingerprint));
  }

  note(text: string): void {
    if (!this.notes.includes(text)) this.notes.push(text);
  }

  keys(): VerifyReport['keys'] {
    return [...this.fingerprints].flatMap(([of, all]) => [...all].map(fingerprint => ({ of, fingerprint })));
  }
}
