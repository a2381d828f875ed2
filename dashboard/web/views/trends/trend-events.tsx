import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import type { RigEventEntry } from '../rig-events/event-form.ts';
import { EventList } from '../rig-events/event-list.tsx';
import { rigEventUrl } from '../rig-events/event-route.ts';
import { usePeople } from '../verify/use-people.ts';

interface TrendEventsProps {
  readonly events: readonly RigEventEntry[];
  readonly site: string;
  readonly rig: string;
  readonly spanS: number;
}

/** The marks of the charts in words: what people entered at this rig in the time shown. */
export function TrendEvents({ events, site, rig, spanS }: TrendEventsProps) {
  const { rigs } = useApp();
  const people = usePeople();
  const fromMs = rigs.nowMs.value - spanS * 1000;
  const shown = events.filter(({ body }) => Date.parse(body.happenedAt) >= fromMs);
  if (shown.length === 0) return null;
  return (
    <section class="trend-events">
      <h2>{text.value.rigEvents.chartTitle}</h2>
      <EventList events={shown} nameOf={people.nameOf} correctUrl={id => rigEventUrl(site, rig, id)} />
    </section>
  );
}
