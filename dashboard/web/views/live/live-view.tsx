import { useApp } from '../../app-context.ts';
import { text } from '../../text/text.ts';
import { EmptyBoard } from './empty-board.tsx';
import { StationBoard } from './station-board.tsx';
import { stations } from './stations.ts';

/** All sides at once, each in its own fixed place. */
export function LiveView() {
  const { rigs } = useApp();
  const t = text.value;
  const views = rigs.entries.value.map(entry => entry.view.value);
  if (views.length === 0) return <EmptyBoard />;
  const all = stations(views);
  return (
    <>
      <h1 class="sr-only">{t.liveTitle}</h1>
      <div class="board" data-stations={all.length}>
        {all.map(station => (
          <StationBoard key={station.key} station={station} everyone={views} />
        ))}
      </div>
    </>
  );
}
