import { useState } from 'preact/hooks';
import type { CheckName } from '#core/journal/rig-entries';
import { useApp } from '../../app-context.ts';
import type { SideView } from '../../data/side-view.ts';
import { text } from '../../text/text.ts';
import { CautionBox } from './caution-box.tsx';
import { CheckList } from './check-list.tsx';
import { ClockCheck } from './clock-check.tsx';
import { MeterCheck } from './meter-check.tsx';
import { type SavedCheck, SavedPanel } from './saved-panel.tsx';
import { type RunFacts, type RunStart, TimedRunCheck } from './timed-run-check.tsx';
import { usePeople } from './use-people.ts';
import { verifyUrl } from './verify-route.ts';

interface VerifyViewProps {
  readonly site: string;
  readonly rig: string;
  readonly check: CheckName | null;
}

/** The checks of one rig, or one of them step by step. */
export function VerifyView({ site, rig, check }: VerifyViewProps) {
  const { rigs } = useApp();
  const t = text.value;
  const known = rigs.entries.value.some(entry => entry.key === `${site}/${rig}`);
  if (!known) {
    return <p class="sheet">{rigs.loaded.value ? t.trends.unknownRig(rig) : t.empty.connecting}</p>;
  }
  return check === null ? (
    <CheckList site={site} rig={rig} />
  ) : (
    <CheckSheet key={check} site={site} rig={rig} check={check} />
  );
}

const CHANNEL = { travel: 'travelSpeed', wireFeed: 'wireFeedSpeed' } as const;

function useFacts(view: SideView | null, check: CheckName): RunFacts {
  const { procedures, readiness, rigs } = useApp();
  const work = view?.work ?? null;
  const procedure = work === null ? null : procedures.find(work.procedureId, work.procedureRevision);
  const channel = check === 'travel' || check === 'wireFeed' ? CHANNEL[check] : null;
  const limits = procedure === null || work === null ? [] : procedures.limitsOf(procedure, work.pass);
  const said = view === null ? null : readiness.of(view.site, view.rig);
  return {
    referenceRadiusMm: view?.referenceRadiusMm ?? null,
    correctionFactor: said?.corrections.find(one => one.channel === channel)?.factor ?? null,
    procedureMmPerS: limits.find(limit => limit.quantity === channel)?.nominal ?? null,
    outsideDiameterMm: view?.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm ?? null,
    samplePeriodS: view === null ? null : (rigs.entry(view.key)?.rig.info?.samplePeriodS ?? null),
  };
}

interface Start extends RunStart {
  /** Counts the times it was begun: each is a fresh form. */
  readonly turn: number;
}

function CheckSheet({ site, rig, check }: VerifyViewProps & { readonly check: CheckName }) {
  const { rigs } = useApp();
  const t = text.value;
  const v = t.verify;
  const people = usePeople();
  const view = rigs.entry(`${site}/${rig}`)?.view.value ?? null;
  const facts = useFacts(view, check);
  const [saved, setSaved] = useState<SavedCheck | null>(null);
  const [start, setStart] = useState<Start>({
    state: 'asFound',
    targetS: null,
    tape: null,
    turn: 0,
  });
  const common = { site, rig, people, start };
  return (
    <section class="sheet form-sheet verify">
      <p>
        <a class="button" href={verifyUrl({ site, rig, check: null })}>
          {v.toList}
        </a>
      </p>
      <h1>{v.title(v.names[check], t.rig(rig))}</h1>
      {saved !== null ? (
        <SavedPanel
          site={site}
          rig={rig}
          check={check}
          saved={saved}
          previous={facts.correctionFactor}
          people={people}
          restart={next => {
            setSaved(null);
            setStart(now => ({ ...now, ...next, turn: now.turn + 1 }));
          }}
        />
      ) : (
        <>
          <CautionBox check={check} />
          {check === 'travel' || check === 'wireFeed' ? (
            <TimedRunCheck
              key={start.turn}
              {...common}
              check={check}
              facts={facts}
              onSaved={(entry, run, tape) => {
                setStart(now => ({ ...now, tape }));
                setSaved({ entry, run });
              }}
            />
          ) : check === 'clock' ? (
            <ClockCheck
              key={start.turn}
              {...common}
              clock={view?.feed.cause === null ? view.clock : null}
              onSaved={entry => setSaved({ entry, run: null })}
            />
          ) : (
            <MeterCheck
              key={start.turn}
              {...common}
              check={check}
              live={view?.values?.[check] ?? null}
              tapPoint={view?.voltageTapPoint ?? null}
              onSaved={entry => setSaved({ entry, run: null })}
            />
          )}
        </>
      )}
    </section>
  );
}
