import type { VerifyProblem } from '#core/messages/api-verify';

const NOWHERE = { site: null, rig: null, stream: null, seq: null, passId: null, entry: null };

export function verifyProblem(
  part: VerifyProblem['part'],
  text: string,
  where: Partial<Omit<VerifyProblem, 'part' | 'text'>> = {},
): VerifyProblem {
  return { part, text, ...NOWHERE, ...where };
}
