import type { Debrief, TimelineItem } from '#core/messages/api-training';
import { TimelineChart } from '../../charts/timeline-chart.tsx';
import { LANES, timelineModel } from '../../charts/timeline-geometry.ts';
import { More } from '../../parts/more.tsx';
import { said } from '../../text/said.ts';
import { format, text } from '../../text/text.ts';
import { ReplayLink } from './replay-link.tsx';
import { actionWords, channelWords, faultWords, whereWords } from './training-words.ts';

/** Truth, what the rules and the alarms said, and the marks, in one line of time for each side; and as a table. */
export function DebriefTimeline({ debrief }: { readonly debrief: Debrief }) {
  const { session, timeline } = debrief;
  const t = text.value.training;
  const d = t.debrief;
  const model = timelineModel({
    timeline,
    rigs: session.rigs,
    windows: session.truth,
    startedAt: session.startedAt,
    endedAt: session.endedAt,
  });
  return (
    <section aria-label={d.timelineTitle}>
      <h2>{d.timelineTitle}</h2>
      {model.sides.map(side => {
        const where = whereWords(side);
        const parts = LANES.map(lane =>
          d.laneCount(side.items.filter(item => item.lane === lane).length, d.lanes[lane]),
        );
        return (
          <figure key={`${side.rig} ${side.side}`} class="timeline">
            <figcaption>{where}</figcaption>
            <TimelineChart model={model} side={side} label={d.timelineSummary(where, parts.join(', '))} />
          </figure>
        );
      })}
      <p class="hint">{d.timelineNote}</p>
      <More label={d.table} open={false}>
        <table class="plain-table timeline-table">
          <thead>
            <tr>
              <th scope="col">{d.tableColumns.at}</th>
              <th scope="col">{d.tableColumns.kind}</th>
              <th scope="col">{d.tableColumns.where}</th>
              <th scope="col">{d.tableColumns.text}</th>
              <th scope="col">{d.tableColumns.see}</th>
            </tr>
          </thead>
          <tbody>
            {timeline.map(item => (
              <Row key={`${item.kind} ${item.at} ${item.ref} ${item.text}`} item={item} debrief={debrief} />
            ))}
          </tbody>
        </table>
      </More>
    </section>
  );
}

interface RowProps {
  readonly item: TimelineItem;
  readonly debrief: Debrief;
}

function Row({ item, debrief }: RowProps) {
  const t = text.value.training.debrief;
  const { session } = debrief;
  const { kind, at, until, rig, side } = item;
  const time = format().timeOfDay(Date.parse(at));
  const words = itemWords(item, debrief);
  const where = rig !== null && side !== null ? whereWords({ rig, side }) : (rig ?? '');
  return (
    <tr data-kind={kind}>
      <th scope="row">{until === null ? time : t.until(time, format().timeOfDay(Date.parse(until)))}</th>
      <td data-label={t.tableColumns.kind}>{t.kind[kind]}</td>
      <td data-label={t.tableColumns.where}>{where}</td>
      <td data-label={t.tableColumns.text}>{words !== '' && <bdi>{words}</bdi>}</td>
      {rig === null ? (
        <td />
      ) : (
        <td data-label={t.tableColumns.see}>
          <ReplayLink sessionId={session.id} rig={rig} at={at} what={`${t.kind[kind]}, ${where}, ${time}`} />
        </td>
      )}
    </tr>
  );
}

function itemWords({ kind, ref, text: words }: TimelineItem, { session }: Debrief): string {
  if (kind === 'truth') {
    const window = session.truth.find(({ id }) => id === ref);
    if (window !== undefined) return `${faultWords(window)}, ${text.value.training.truth.kind[window.kind]}`;
  }
  if (kind === 'mark') {
    const mark = session.marks.find(({ id }) => id === ref);
    if (mark !== undefined) return `${channelWords(mark.channel)}, ${actionWords(mark.action)}`;
  }
  return said(words ?? '');
}
