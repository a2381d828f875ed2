import type { Texts } from '../text/en.ts';
import { oClockText } from '../text/format.ts';
import { format } from '../text/text.ts';
import { arcPath, CENTRE, INNER, OUTER, pointAt } from './ring-geometry.ts';
import type { RingFlag, RingLayer, RingMarker, RingModel } from './ring-model.ts';

const DIAMOND_RADIUS = OUTER + 18;
/** Clear of the round mark even on the outermost layer. */
const BRACKET_RADIUS = OUTER + 8;

/** The ring in words, for who cannot see it. */
export function ringSummary(t: Texts, model: RingModel): string {
  const sides = model.markers.map(({ side, pass, clock, uncertaintyMm, kind }) =>
    kind === 'lost'
      ? t.ring.sideLost(side, pass, oClockText(clock))
      : t.ring.sideAt(side, pass, oClockText(clock), format().measure('length', uncertaintyMm)),
  );
  const flags = model.flags.length > 0 ? [`${t.ring.flags(model.flags.length)}.`] : [];
  const unseen = model.layers.some(layer => layer.unseen.length > 0) ? [t.ring.unseen] : [];
  return [t.ring.describe(model.joint), ...sides, ...flags, ...unseen].join(' ');
}

function Layer({ layer }: { readonly layer: RingLayer }) {
  const { radius, width } = layer;
  return (
    <g stroke-width={width}>
      <circle class="ring-ahead" cx={CENTRE} cy={CENTRE} r={radius} />
      {layer.welded.map(span => (
        <path
          key={`${span.fromDeg}`}
          class={span.current ? 'ring-current' : 'ring-done'}
          d={arcPath(radius, span)}
        />
      ))}
      {layer.unseen.map(span => (
        <g key={`u${span.fromDeg}`}>
          <path class="ring-unseen-ground" d={arcPath(radius, span)} />
          <path class="ring-unseen" d={arcPath(radius, span)} />
        </g>
      ))}
      {layer.out.map(span => (
        <path key={`o${span.fromDeg}`} class="ring-out" d={arcPath(radius, span)} />
      ))}
    </g>
  );
}

function Uncertainty({ marker }: { readonly marker: RingMarker }) {
  if (marker.uncertainty === null) return null;
  const { fromDeg, toDeg } = marker.uncertainty;
  const tick = (degrees: number): string => {
    const inner = pointAt(BRACKET_RADIUS - 3, degrees);
    const outer = pointAt(BRACKET_RADIUS + 3, degrees);
    return `M${inner.x} ${inner.y}L${outer.x} ${outer.y}`;
  };
  const near = pointAt(marker.radius, marker.degrees);
  const far = pointAt(BRACKET_RADIUS, marker.degrees);
  const hand = `M${near.x} ${near.y}L${far.x} ${far.y}`;
  return (
    <path
      class="ring-uncertainty"
      d={`${arcPath(BRACKET_RADIUS, marker.uncertainty)} ${tick(fromDeg)} ${tick(toDeg)} ${hand}`}
    />
  );
}

function Marker({ marker }: { readonly marker: RingMarker }) {
  const { x, y } = pointAt(marker.radius, marker.degrees);
  if (marker.kind === 'lost') {
    return (
      <g class="ring-lost">
        <circle cx={x} cy={y} r="8" />
        <path d={`M${x - 5} ${y - 5}L${x + 5} ${y + 5}M${x - 5} ${y + 5}L${x + 5} ${y - 5}`} />
      </g>
    );
  }
  return (
    <g class={marker.kind === 'arcOn' ? 'ring-marker on' : 'ring-marker'}>
      <circle cx={x} cy={y} r="7" />
      {marker.kind === 'arcOn' && <circle class="ring-marker-dot" cx={x} cy={y} r="2.6" />}
    </g>
  );
}

function Diamond({ flag }: { readonly flag: RingFlag }) {
  const { x, y } = pointAt(DIAMOND_RADIUS, flag.labelDegrees);
  const foot = pointAt(flag.radius, flag.degrees);
  return (
    <g class={flag.live ? 'ring-flag live' : 'ring-flag'}>
      <path class="ring-flag-lead" d={`M${x} ${y}L${foot.x} ${foot.y}`} />
      <path class="ring-flag-shape" d={`M${x} ${y - 11}L${x + 11} ${y}L${x} ${y + 11}L${x - 11} ${y}Z`} />
      <text x={x} y={y + 3.6}>
        {flag.number}
      </text>
    </g>
  );
}

/** Two lines at most; what is longer is cut here and stands in full on the tile beside it. */
function jointLines(joint: string): readonly string[] {
  if (joint.length <= 11) return [joint];
  const cut = joint.length > 22 ? `${joint.slice(0, 21)}…` : joint;
  const middle = Math.ceil(cut.length / 2);
  // At a separator near the middle where there is one, so that a number is not torn.
  const near = [...cut.matchAll(/[-+/ _]/g)]
    .map(({ index }) => index + 1)
    .filter(at => Math.abs(at - middle) <= 3);
  const at = near.sort((a, b) => Math.abs(a - middle) - Math.abs(b - middle))[0] ?? middle;
  return [cut.slice(0, at), cut.slice(at)];
}

const CLOCK_DIGITS = [12, 3, 6, 9] as const;

interface JointRingProps {
  readonly t: Texts;
  readonly model: RingModel;
  readonly caption: string;
  readonly originMark: string | null;
}

/** The weld as it lies in the groove: passes as layers, first innermost, 12 on top, looking downstream. */
export function JointRingChart(props: JointRingProps) {
  const { t, model, caption, originMark } = props;
  const lines = jointLines(model.joint);
  // Between the 9 and the 3, and above the pass.
  const room = lines.length === 1 ? 98 : 84;
  const size = Math.min(19, room / (0.74 * Math.max(...lines.map(line => line.length), 1)));
  const top = CENTRE - 2 - (lines.length - 1) * size * 1.08;
  return (
    <svg class="ring" viewBox="0 0 240 240" role="img" aria-label={ringSummary(t, model)}>
      {model.layers.map(layer => (
        <Layer key={layer.pass} layer={layer} />
      ))}
      <path
        class="ring-split"
        d={`M${CENTRE} ${CENTRE - OUTER - 1}V${CENTRE - INNER + 1}M${CENTRE} ${CENTRE + INNER - 1}V${CENTRE + OUTER + 1}`}
      />
      {CLOCK_DIGITS.map(digit => {
        const { x, y } = pointAt(INNER - 10, digit * 30);
        return (
          <text key={digit} class="ring-digit" x={x} y={y + 3.5}>
            {digit}
          </text>
        );
      })}
      <text class="ring-side" x="26" y="40">
        A
      </text>
      <text class="ring-side" x="214" y="40">
        B
      </text>
      <text class="ring-joint" x={CENTRE} y={top} font-size={size}>
        {lines.map((line, i) => (
          <tspan key={line} x={CENTRE} dy={i === 0 ? 0 : size * 1.08}>
            {line}
          </tspan>
        ))}
      </text>
      <text class="ring-pass" x={CENTRE} y={CENTRE + 15}>
        {caption.length > 16 ? `${caption.slice(0, 15)}…` : caption}
      </text>
      {originMark !== null && (
        <text class="ring-origin" x={CENTRE} y={CENTRE + 28}>
          {originMark}
        </text>
      )}
      {model.markers.map(marker => (
        <Uncertainty key={`u${marker.side}`} marker={marker} />
      ))}
      {model.flags.map(flag => (
        <Diamond key={flag.number} flag={flag} />
      ))}
      {model.markers.map(marker => (
        <Marker key={marker.side} marker={marker} />
      ))}
    </svg>
  );
}
