/** What a `doctor` says: one line a thing looked at, with one sentence of what it found and what to do. */
import { EXIT } from './program-error.ts';

/** `look`: it works, and somebody should look; `stop`: it does not work, or what it records is in danger. */
export type Verdict = 'ok' | 'look' | 'stop';

export interface Finding {
  /** What was looked at, one or two words. */
  readonly check: string;
  readonly verdict: Verdict;
  /** One sentence, without a full stop. */
  readonly text: string;
}

/** A finding of `check`; the sentence says what to do unless the verdict is ok. */
export function finding(check: string, verdict: Verdict, text: string): Finding {
  return { check, verdict, text };
}

/** One line each, then how many of each verdict. */
export function findingsText(findings: readonly Finding[]): string {
  const width = Math.max(0, ...findings.map(({ check }) => check.length));
  const lines = findings.map(
    ({ verdict, check, text }) => `${verdict.padEnd(4)}  ${check.padEnd(width)}  ${text}.`,
  );
  return `${[...lines, summaryOf(findings)].join('\n')}\n`;
}

function summaryOf(findings: readonly Finding[]): string {
  const count = (verdict: Verdict): number => findings.filter(one => one.verdict === verdict).length;
  const [look, stop] = [count('look'), count('stop')];
  if (look + stop === 0) return 'Everything looked at is well.';
  return `${stop} to be mended first, ${look} to look at, ${count('ok')} well.`;
}

/** 0 as long as nothing says stop, else 3. */
export function findingsExit(findings: readonly Finding[]): number {
  return findings.some(({ verdict }) => verdict === 'stop') ? EXIT.configuration : EXIT.ok;
}
