import { useCallback, useMemo, useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { limitShown } from '../../data/procedures.ts';
import type { RigEntry } from '../../data/rig-entry.ts';
import type { TrendChannel, TrendStats } from '../../data/trend-history.ts';
import { routeUrl, TREND_SPANS_S } from '../../routes.ts';
import { text } from '../../text/text.ts';
import { diameterOf } from '../live/side-message.tsx';
import { SideTile } from '../live/side-tile.tsx';
import { useRigEvents } from '../rig-events/use-rig-events.ts';
import { DriftPanel } from './drift-panel.tsx';
import { eventMarks } from './event-marks.ts';
import { OtherSides } from './other-sides.tsx';
import { JointFlags, RigFacts } from './rig-facts.tsx';
import { TrendEvents } from './trend-events.tsx';
import { TrendPanel } from './trend-panel.tsx';
import { ReadingsTable, ValuesTable } from './trend-tables.tsx';
import { useTrendHistory } from './use-trend-history.ts';

export const TRENDS: readonly { readonly channel: TrendChannel; readonly quantity: string }[] = [
  { channel: 'current', quantity: 'weldingCurrent' },
  { channel: 'voltage', quantity: 'arcVoltage' },
  { channel: 'wireFeed', quantity: 'wireFeedSpeed' },
  { channel: 'travel', quantity: 'travelSpeed' },
  { channel: 'power', quantity: 'power' },
  { channel: 'arcEnergy', quantity: 'arcEnergy' },
];

interface TrendsViewProps {
  readonly site: string;
  readonly rig: string;
  readonly spanS: number;
}

export function TrendsView({ site, rig, spanS }: TrendsViewProps) {
  const { rigs } = useApp();
  const t = text.value;
  const entry = rigs.entries.value.find(candidate => candidate.key === `${site}/${rig}`);
  return (
    <section class="trends-view">
      <nav class="trends-nav">
        <a class="button" href="#/">
          {t.back}
        </a>
        <OtherSides current={`${site}/${rig}`} spanS={spanS} />
      </nav>
      {entry === undefined ? (
        <p class="sheet">{rigs.loaded.value ? t.trends.unknownRig(rig) : t.empty.connecting}</p>
      ) : (
        <RigTrends key={`${entry.key}/${spanS}`} entry={entry} spanS={spanS} />
      )}
    </section>
  );
}

function RigTrends({ entry, spanS }: { readonly entry: RigEntry; readonly spanS: number }) {
  const { procedures } = useApp();
  const t = text.value;
  const view = entry.view.value;
  const { work } = view;
  const followed = useTrendHistory(entry, spanS);
  const [stats, setStats] = useState<Readonly<Partial<Record<TrendChannel, TrendStats>>>>({});
  const onStats = useCallback((channel: TrendChannel, made: TrendStats) => {
    setStats(known => ({ ...known, [channel]: made }));
  }, []);
  const procedure = work === null ? null : procedures.find(work.procedureId, work.procedureRevision);
  const clock = view.position?.clock ?? null;
  const limits = useMemo(
    () => (procedure === null || work === null ? [] : procedures.limitsOf(procedure, work.pass)),
    [procedure, procedures, work],
  );
  const shown = TRENDS.filter(
    ({ channel }) => channel !== 'power' || !followed.history.lacks('power', entry.trail.points),
  );
  const rows = shown.map(trend => ({
    ...trend,
    label: trend.channel === 'arcEnergy' ? t.trends.energySoFar : (t.quantity[trend.quantity] ?? ''),
    limit: limitShown(limits, trend.quantity, clock),
    stats: stats[trend.channel] ?? { now: null, min: null, max: null },
  }));
  const events = useRigEvents(view.site, view.rig);
  const marks = useMemo(() => eventMarks(events.all ?? []), [events]);
  const side = work === null ? t.noSide : t.side(work.side);
  const state = followed.state.value;
  return (
    <>
      <h1>{t.trends.title(side, t.rig(view.rig))}</h1>
      <nav class="spans" aria-label={t.trends.span}>
        <span aria-hidden="true">{t.trends.span}</span>
        {TREND_SPANS_S.map(span => (
          <a
            key={span}
            class="button"
            aria-current={span === spanS ? 'true' : undefined}
            href={routeUrl({ view: 'trends', site: view.site, rig: view.rig, spanS: span })}
          >
            {t.trends.seconds(span)}
          </a>
        ))}
      </nav>
      <div class="trends-body">
        <div class="trend-stack">
          {rows.map(({ channel, quantity, label, limit }, i) => (
            <TrendPanel
              key={channel}
              entry={entry}
              followed={followed}
              channel={channel}
              quantity={quantity}
              label={label}
              limit={limit}
              outsideDiameterMm={view.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm ?? null}
              spanS={spanS}
              showTimes={i === rows.length - 1}
              marks={marks}
              onStats={onStats}
            />
          ))}
          <p class="note">
            {state.kind === 'failed'
              ? t.trends.storeFailed(state.detail)
              : state.kind === 'loading'
                ? t.trends.loading
                : t.trends.source}
          </p>
        </div>
        <div class="trends-side">
          <SideTile view={view} place="alone" />
          <DriftPanel view={view} diameterMm={diameterOf(view, procedure)} />
          <ValuesTable rows={rows} />
          {shown.length < TRENDS.length && (
            <p class="note">{t.trends.noChannel(t.quantity['power'] ?? '')}</p>
          )}
          <JointFlags view={view} />
          <TrendEvents events={events.all ?? []} site={view.site} rig={view.rig} spanS={spanS} />
          <ReadingsTable entry={entry} spanS={spanS} />
          <RigFacts view={view} />
        </div>
      </div>
    </>
  );
}
