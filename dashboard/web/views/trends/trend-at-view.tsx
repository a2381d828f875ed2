import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { ResolvedLimit } from '#core/procedure/limits';
import { useApp } from '../../app-context.ts';
import { limitsText, shownValue } from '../../charts/band-bar.tsx';
import { TrendChart } from '../../charts/trend-chart.ts';
import { limitShown } from '../../data/procedures.ts';
import { storedScale, type TrendChannel, trendStats } from '../../data/trend-history.ts';
import { routeUrl } from '../../routes.ts';
import { displays, format, manner, text } from '../../text/text.ts';
import { trainingUrl } from '../training/training-route.ts';
import { ValuesTable } from './trend-tables.tsx';
import { AROUND_MS, LEAD_MS, runningWork, type TrendAt, useTrendAt } from './use-trend-at.ts';

const TRENDS: readonly { readonly channel: TrendChannel; readonly quantity: string }[] = [
  { channel: 'current', quantity: 'weldingCurrent' },
  { channel: 'voltage', quantity: 'arcVoltage' },
  { channel: 'wireFeed', quantity: 'wireFeedSpeed' },
  { channel: 'travel', quantity: 'travelSpeed' },
  { channel: 'power', quantity: 'power' },
];

interface TrendAtViewProps {
  readonly site: string;
  readonly rig: string;
  readonly atMs: number;
  /** The training session it is looked at from; null: from an alarm. */
  readonly debrief: string | null;
}

/** The 30 s around one moment, from the store, with the limits that held then. */
export function TrendAtView({ site, rig, atMs, debrief }: TrendAtViewProps) {
  const { rigs, procedures } = useApp();
  const t = text.value;
  const { found, pass, failure } = useTrendAt(site, rig, atMs, debrief === null ? AROUND_MS : LEAD_MS);
  const entry = rigs.entries.value.find(({ key }) => key === `${site}/${rig}`);
  const view = entry?.view.value ?? null;
  const running = pass === null && found !== null ? runningWork(view, found, atMs) : null;
  const id = pass?.procedureId ?? running?.procedureId ?? null;
  const revision = pass?.procedureRevision ?? running?.procedureRevision ?? null;
  const name = pass?.pass.procedurePass ?? running?.pass ?? null;
  useEffect(() => {
    if (id !== null && revision !== null) procedures.want(id, revision);
  }, [procedures, id, revision]);
  const procedure = id === null || revision === null ? null : procedures.find(id, revision);
  const limits = useMemo(
    () => (procedure === null || name === null ? [] : procedures.limitsOf(procedure, name)),
    [procedure, procedures, name],
  );
  const radius = view?.referenceRadiusMm ?? null;
  const diameter = view?.outsideDiameterMm ?? procedure?.pipe?.outsideDiameterMm ?? null;
  const rows = TRENDS.filter(
    ({ channel }) => channel !== 'power' || found?.history.lacks('power', []) === false,
  ).map(({ channel, quantity }) => {
    const scale = storedScale(channel, radius, diameter);
    const points = found === null ? [] : found.history.points(channel, found.span, [], scale);
    return {
      channel,
      quantity,
      points,
      label: t.quantity[quantity] ?? quantity,
      limit: limitShown(limits, quantity, null),
      stats: trendStats(points, null),
    };
  });
  const sideName = pass?.side ?? running?.side ?? null;
  const side = sideName === null ? null : t.side(sideName);
  const at = (shift: number): string =>
    routeUrl({
      view: 'trends',
      site,
      rig,
      spanS: 120,
      atMs: atMs + shift,
      ...(debrief === null ? {} : { debrief }),
    });
  const nothing = found !== null && rows.every(({ points }) => points.length === 0);
  return (
    <section class="trends-view">
      <nav class="trends-nav">
        {debrief === null ? (
          <a class="button" href="#/alarms">
            {t.alarms.all}
          </a>
        ) : (
          <a class="button" href={trainingUrl({ view: 'trainingDebrief', id: debrief })}>
            {t.training.debrief.back}
          </a>
        )}
        <a class="button" href={routeUrl({ view: 'trends', site, rig, spanS: 120 })}>
          {t.trendAt.live}
        </a>
        <a class="button" href={at(-2 * AROUND_MS)}>
          {t.trendAt.earlier}
        </a>
        <a class="button" href={at(2 * AROUND_MS)}>
          {t.trendAt.later}
        </a>
      </nav>
      <h1>{t.trendAt.title(side, t.rig(rig), format().timeOfDay(atMs))}</h1>
      <p class="note">
        {name !== null && procedure !== null
          ? t.trendAt.limitsOf(name, pass?.joint ?? running?.joint ?? '')
          : t.trendAt.limitsNone}{' '}
        {failure !== null
          ? t.trendAt.failed(failure === '' ? t.work.noServer : failure)
          : found === null
            ? t.trendAt.loading
            : nothing && !found.coming
              ? t.trendAt.nothing
              : found.coming
                ? t.trendAt.coming
                : t.trendAt.source}
      </p>
      {found !== null && (
        <div class="trends-body">
          <div class="trend-stack">
            {rows.map(({ channel, quantity, label, limit }, i) => (
              <AtPanel
                key={channel}
                found={found}
                row={{ channel, quantity, label, limit }}
                points={rows[i]!.points}
                atMs={atMs}
                mark={debrief === null ? t.trendAt.mark : t.training.debrief.here}
                showTimes={i === rows.length - 1}
              />
            ))}
          </div>
          <div class="trends-side">
            <ValuesTable rows={rows} isPast />
          </div>
        </div>
      )}
    </section>
  );
}

interface AtPanelProps {
  readonly found: TrendAt;
  readonly row: {
    readonly channel: TrendChannel;
    readonly quantity: string;
    readonly label: string;
    readonly limit: ResolvedLimit | null;
  };
  readonly points: ReturnType<TrendAt['history']['points']>;
  readonly atMs: number;
  /** What stands at the moment. */
  readonly mark: string;
  readonly showTimes: boolean;
}

function AtPanel({ found, row, points, atMs, mark, showTimes }: AtPanelProps) {
  const { screen } = useApp();
  const canvas = useRef<HTMLCanvasElement>(null);
  const t = text.value;
  const { quantity, label, limit } = row;
  const theme = screen.theme.value;
  useEffect(() => {
    const element = canvas.current;
    if (element === null) return;
    const chart = new TrendChart(element, showTimes);
    const { span, history } = found;
    const offset = history.utcMinusRecordMs;
    const display = displays()[quantity] ?? { decimals: 2, shown: (value: number) => value };
    const shown = (value: number | null | undefined): number | null =>
      value === null || value === undefined ? null : display.shown(value);
    chart.draw(
      {
        ...span,
        points: points.map(({ x, y }) => ({ x, y: display.shown(y) })),
        min: shown(limit?.min),
        nominal: shown(limit?.nominal),
        max: shown(limit?.max),
        gaps: history.gaps,
        marks: offset === null ? [] : [{ atUs: (atMs - offset) * 1000, label: mark }],
        decimals: display.decimals,
        tick: tUs => (offset === null ? '' : format().timeOfDay(tUs / 1000 + offset)),
      },
      element,
    );
    return () => chart.destroy();
  }, [found, points.length, limit, atMs, mark, showTimes, theme, quantity, manner.value]);
  const stats = trendStats(points, null);
  const unit = displays()[quantity]?.unit ?? '';
  const summary = [
    t.trends.chart(label, String((2 * AROUND_MS) / 1000)),
    stats.min === null
      ? t.trends.chartNothing
      : t.alarms.from(
          `${shownValue(quantity, stats.min)} ${unit}`,
          `${shownValue(quantity, stats.max)} ${unit}`,
        ),
    t.trends.chartLimits(limitsText(t, limit)),
  ].join(' ');
  return (
    <figure class={showTimes ? 'trend timed' : 'trend'}>
      <figcaption>
        {label} <span class="unit">{unit}</span>
      </figcaption>
      <div class="trend-canvas">
        <canvas ref={canvas} role="img" aria-label={summary} />
      </div>
    </figure>
  );
}
