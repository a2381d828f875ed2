/** The one way tests enter things: as a program with a token, which says in whose name it enters. */
import { type Right, rightSchema } from '#core/messages/api-account';
import { PROGRAM_RIGHTS_ENV, PROGRAM_TOKEN_ENV } from '#core/program/program-token';

export const PROGRAM_TOKEN = 'token-of-the-program-of-the-tests';

/** All but those of a trainer, who shows a key. */
export const PROGRAM_RIGHTS: readonly Right[] = rightSchema.options.filter(right => right !== 'train');

export const AS_PROGRAM = { authorization: `Bearer ${PROGRAM_TOKEN}` } as const;

/** For a program that is started. */
export const PROGRAM_ENV = {
  [PROGRAM_TOKEN_ENV]: PROGRAM_TOKEN,
  [PROGRAM_RIGHTS_ENV]: PROGRAM_RIGHTS.join(','),
} as const;
