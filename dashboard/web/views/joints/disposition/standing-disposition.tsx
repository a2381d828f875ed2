import type { JointState } from '#core/messages/api-journal';
import { whenText } from '../../../parts/when-text.ts';
import { text } from '../../../text/text.ts';

interface StandingDispositionProps {
  readonly disposition: NonNullable<JointState['disposition']>;
  readonly nameOf: (id: string) => string;
}

/** What stands, why, by whom and when. */
export function StandingDisposition({ disposition, nameOf }: StandingDispositionProps) {
  const t = text.value.dispositions;
  const { decision, reason, author, at } = disposition;
  return (
    <>
      <p class="joint-sum">{t.stands(t.decisions[decision])}</p>
      <p>
        <bdi>{reason}</bdi> – <bdi>{t.by(nameOf(author), whenText(at))}</bdi>
      </p>
    </>
  );
}
