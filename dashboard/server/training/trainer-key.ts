/** The key in the trainer's link: who shows it may steer lessons and see the truth. Beside it, an account with the role trainer. */
import { createHash, timingSafeEqual } from 'node:crypto';
import { ApiProblem } from '../api/problem.ts';

export class TrainerKey {
  private readonly hash: Buffer;

  constructor(key: string) {
    this.hash = hashOf(key);
  }

  /** Whether it was shown; false where none was. Throws ApiProblem where it is another. */
  isShown(key: string | undefined): boolean {
    if (key === undefined) return false;
    // Hashes are of one length, so that the time says nothing of the key's.
    if (timingSafeEqual(hashOf(key), this.hash)) return true;
    throw new ApiProblem(
      403,
      'trainerKeyWrong',
      'That is not the key of the trainer: use the link you were given.',
    );
  }

  require(key: string | undefined): void {
    if (this.isShown(key)) return;
    throw new ApiProblem(
      403,
      'trainerKeyMissing',
      'Only the trainer may do this: use the link you were given.',
    );
  }
}

const hashOf = (key: string): Buffer => createHash('sha256').update(key, 'utf8').digest();
