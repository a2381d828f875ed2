import { useApp } from '../../app-context.ts';
import { BandBar, shownValue } from '../../charts/band-bar.tsx';
import { limitShown } from '../../data/procedures.ts';
import type { SideView } from '../../data/side-view.ts';
import { HoldMark } from '../../parts/hold-mark.tsx';
import { statusWord } from '../../parts/status-word.ts';
import { routeUrl } from '../../routes.ts';
import { displays, text } from '../../text/text.ts';
import { jointUrl } from '../joints/joint-routes.ts';
import { TileReadiness } from '../ready/tile-readiness.tsx';
import { rigEventUrl } from '../rig-events/event-route.ts';
import { Slope, TrimMark } from './drift-message.tsx';
import { MarkButton } from './mark-button.tsx';
import { PassFigures } from './pass-figures.tsx';
import { hasMessage, SideMessage } from './side-message.tsx';

export const TILE_QUANTITIES = ['weldingCurrent', 'arcVoltage', 'wireFeedSpeed', 'travelSpeed'] as const;

interface SideTileProps {
  readonly view: SideView;
  readonly place: 'left' | 'right' | 'alone';
}

/** One side: status, values against their limits, the pass so far, and one place for what is wrong. */
export function SideTile({ view, place }: SideTileProps) {
  const { procedures, rigs } = useApp();
  const t = text.value;
  const { work, feed } = view;
  const procedure = work === null ? null : procedures.find(work.procedureId, work.procedureRevision);
  const limits = procedure === null || work === null ? [] : procedures.limitsOf(procedure, work.pass);
  const clock = view.values === null ? null : (view.position?.clock ?? null);
  const side = work === null ? t.noSide : t.side(work.side);
  const out = new Set(view.outOfRange.map(flag => flag.quantity));
  const drifting = new Map(view.drifting.map(drift => [drift.quantity, drift]));
  // Where all are alike the trust line and the ring say it; where they are not, every tile does.
  const mixed = new Set(rigs.entries.value.map(entry => entry.view.value.origin)).size > 1;
  const state =
    feed.cause !== null ? 'nodata' : out.size > 0 ? 'out' : drifting.size > 0 ? 'drift' : 'normal';
  return (
    <article
      class="tile"
      data-place={place}
      data-state={state}
      data-key={view.key}
      data-status={feed.status}
      data-message={hasMessage(view) ? 'yes' : 'no'}
    >
      <header class="tile-head">
        <h2>
          <a href={routeUrl({ view: 'trends', site: view.site, rig: view.rig, spanS: 120 })}>
            <span class="tile-side">{side}</span> <span class="tile-rig">{t.rig(view.rig)}</span>
            <span class="sr-only">{t.trends.openHint}</span>
          </a>
        </h2>
        <p class="status">{statusWord(t, feed)}</p>
      </header>
      <p class="tile-work">
        {work === null ? (
          <span class="no-work">{t.noWork}</span>
        ) : (
          <>
            <bdi class="tile-joint">{work.joint}</bdi> <bdi>{work.pass}</bdi> <HoldMark joint={work.joint} />
          </>
        )}
        {mixed && view.origin !== null && <span class="tile-origin">{t.origin[view.origin]}</span>}
        <TileReadiness site={view.site} rig={view.rig} />
      </p>
      <dl class="values">
        {TILE_QUANTITIES.map(quantity => {
          const value = view.values?.[quantity] ?? null;
          const drift = drifting.get(quantity);
          return (
            <div class={out.has(quantity) ? 'value-row out' : 'value-row'} key={quantity}>
              <dt>
                {t.quantity[quantity]}
                {drift !== undefined && <Slope direction={drift.direction} />}
              </dt>
              <dd class="value-bar">
                <BandBar
                  t={t}
                  quantity={quantity}
                  value={value}
                  limit={limitShown(limits, quantity, clock)}
                  out={out.has(quantity)}
                  idle={feed.status !== 'arcOn'}
                />
              </dd>
              <dd class="value-number">
                <span class="number">{shownValue(quantity, value)}</span>{' '}
                <span class="unit">{displays()[quantity]?.unit}</span>
              </dd>
            </div>
          );
        })}
      </dl>
      <PassFigures view={view} />
      <div class="tile-says">
        <SideMessage view={view} procedure={procedure} />
        <TrimMark view={view} />
      </div>
      <div class="tile-actions">
        <MarkButton view={view} />
        <a class="tile-action" href={routeUrl({ view: 'assign', site: view.site, rig: view.rig })}>
          {work === null ? t.work.assign : t.work.change}
          <span class="sr-only"> {t.rig(view.rig)}</span>
        </a>
        <a class="tile-action" href={rigEventUrl(view.site, view.rig)}>
          {t.rigEvents.open}
          <span class="sr-only"> {t.rig(view.rig)}</span>
        </a>
        {place === 'alone' && work !== null && (
          <a class="tile-action" href={jointUrl(work.joint)}>
            {t.joints.title(work.joint)}
          </a>
        )}
      </div>
    </article>
  );
}
