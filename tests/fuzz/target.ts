/** Something that takes input from outside, and what must hold whatever the input. */
import type { Dice } from './dice.ts';

export interface FuzzTarget {
  readonly name: string;
  /** What one case is, in the plural: frames, payloads, requests. */
  readonly cases: string;
  /** Of a whole run; the short run makes a share of it. */
  readonly wholeRun: number;
  /** `scratch`: an empty folder of its own. */
  open(scratch: string): Promise<FuzzSubject>;
}

export interface FuzzSubject {
  /**
   * One case; the answer names what became of it, to be counted. Throws where something does not hold that must:
   * that is a finding.
   */
  tryOne(dice: Dice): string | Promise<string>;
  /** Good input still gets through; throws where it does not. */
  stillWorks(): void | Promise<void>;
  close(): void | Promise<void>;
}
