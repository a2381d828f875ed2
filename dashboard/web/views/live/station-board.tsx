import { useApp } from '../../app-context.ts';
import { JointRingChart } from '../../charts/joint-ring-chart.tsx';
import { ringModel } from '../../charts/ring-model.ts';
import type { SideView } from '../../data/side-view.ts';
import { text } from '../../text/text.ts';
import { SideTile } from './side-tile.tsx';
import type { Station } from './stations.ts';

interface StationBoardProps {
  readonly station: Station;
  /** Every rig: a joint's ring shows whoever welds it, from whatever station. */
  readonly everyone: readonly SideView[];
}

/** One station: its two sides as they stand on the pipe, and the ring of the weld between them. */
export function StationBoard({ station, everyone }: StationBoardProps) {
  const { left, right, joints } = station;
  return (
    <section class="station" data-rings={joints.length}>
      {left !== null ? <SideTile view={left} place="left" /> : <div class="tile-none" />}
      <div class="rings">
        {joints.length === 0 ? (
          <NoJoint />
        ) : (
          joints.map(joint => (
            <OneRing key={joint} joint={joint} sides={everyone.filter(view => view.work?.joint === joint)} />
          ))
        )}
      </div>
      {right !== null ? <SideTile view={right} place="right" /> : <div class="tile-none" />}
    </section>
  );
}

function NoJoint() {
  const t = text.value;
  const model = { joint: '–', outsideDiameterMm: null, layers: [], markers: [], flags: [] };
  return <JointRingChart t={t} model={model} caption={t.ring.noJoint} originMark={null} />;
}

function OneRing({ joint, sides }: { readonly joint: string; readonly sides: readonly SideView[] }) {
  const { rings, procedures } = useApp();
  const t = text.value;
  const stored = rings.ringOf(joint).value;
  const work = sides[0]?.work;
  const procedure = work ? procedures.find(work.procedureId, work.procedureRevision) : null;
  const model = ringModel(
    joint,
    stored,
    sides,
    procedure?.passes.map(({ name }) => name) ?? [],
    procedure?.pipe?.outsideDiameterMm ?? null,
  );
  const passes = [...new Set(sides.map(view => view.work?.pass ?? ''))];
  const origins = new Set(sides.map(view => view.origin));
  const [origin] = origins;
  const mark = origins.size === 1 && origin ? t.origin[origin] : t.originMixed('').replace(/: $/, '');
  return (
    <JointRingChart
      t={t}
      model={model}
      caption={passes.join(' / ')}
      originMark={origin === 'real' && origins.size === 1 ? null : mark}
    />
  );
}
