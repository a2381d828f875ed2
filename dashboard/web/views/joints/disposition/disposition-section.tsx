import type { JointState } from '#core/messages/api-journal';
import { text } from '../../../text/text.ts';
import { dispositionUrl } from '../joint-routes.ts';
import { DispositionList } from './disposition-list.tsx';
import { StandingDisposition } from './standing-disposition.tsx';
import { useDispositions } from './use-dispositions.ts';

interface DispositionSectionProps {
  readonly state: JointState;
  readonly nameOf: (id: string) => string;
}

/** What a named person ruled about a joint, or that nobody has. Nothing here is proposed. */
export function DispositionSection({ state, nameOf }: DispositionSectionProps) {
  const t = text.value.dispositions;
  const { all, failed } = useDispositions(state.joint);
  const { disposition } = state;
  return (
    <section class="disposition" aria-labelledby="disposition-title">
      <h2 id="disposition-title">{t.title}</h2>
      {disposition === null ? (
        <>
          <p class="joint-sum">{t.none}</p>
          <p class="hint">{t.noneNote}</p>
        </>
      ) : (
        <StandingDisposition disposition={disposition} nameOf={nameOf} />
      )}
      <p class="form-actions">
        <a class="button" href={dispositionUrl(state.joint)}>
          {t.open}
        </a>
      </p>
      {failed && <p class="message nodata">{t.listFailed}</p>}
      {all !== null && all.length > 0 && (
        <>
          <h3>{t.listTitle}</h3>
          <DispositionList joint={state.joint} all={all} nameOf={nameOf} />
        </>
      )}
    </section>
  );
}
