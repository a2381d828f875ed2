import { text } from '../../text/text.ts';

/** Shown on screen, not printed, from the `printed`th on. */
export const beyond = (index: number, printed: number): string | undefined =>
  index >= printed ? 'not-printed' : undefined;

interface AndMoreProps {
  readonly all: number;
  readonly printed: number;
  readonly as: 'p' | 'li';
}

/** "and 12 more", on paper only. */
export function AndMore({ all, printed, as: As }: AndMoreProps) {
  if (all <= printed) return null;
  return <As class="printed-only">{text.value.shift.more(all - printed)}</As>;
}
