import type { Feed } from '../data/feed-state.ts';
import type { Texts } from '../text/en.ts';
import { format } from '../text/text.ts';

/** The status word of a side, with the time since when it has no data. */
export function statusWord(t: Texts, feed: Feed): string {
  const since = feed.sinceMs === null ? null : format().timeOfDay(feed.sinceMs);
  switch (feed.status) {
    case 'arcOn':
      return t.arcOn;
    case 'arcOff':
      return t.arcOff;
    case 'noData':
      return t.noData(since);
    case 'edgeLost':
      return t.edgeLost(since);
    case 'edgeStopped':
      return t.edgeStopped(since);
  }
}
