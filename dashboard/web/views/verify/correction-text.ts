import type { RigReadiness } from '#core/messages/api-journal';
import { whenText } from '../../parts/when-text.ts';
import { format, text } from '../../text/text.ts';

/** A correction in force, old and new, from when and by whom. */
export function correctionText(
  one: RigReadiness['corrections'][number],
  nameOf: (id: string) => string,
): string {
  const t = text.value;
  const four = (factor: number): string => format().fixed(factor, 4);
  const factor =
    one.previous === undefined
      ? four(one.factor)
      : t.verify.correctionWas(four(one.factor), four(one.previous));
  return t.verify.correction(
    t.quantity[one.channel] ?? one.channel,
    factor,
    nameOf(one.author),
    whenText(one.from),
  );
}
