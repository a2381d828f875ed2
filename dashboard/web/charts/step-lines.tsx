interface StepSeries {
  readonly name: string;
  readonly steps: readonly { readonly from: number; readonly to: number; readonly value: number }[];
}

interface StepLinesProps {
  /** The first is drawn thick; the others are told apart by their dashes. */
  readonly series: readonly StepSeries[];
  readonly label: string;
  readonly top: string;
  readonly bottom: string;
  /** What the left and the right end stand for. */
  readonly left: string;
  readonly right: string;
  readonly low: number;
  readonly high: number;
}

const WIDTH = 1000;
const HEIGHT = 220;

/** Steps of several passes over one place, each with its own dash, named below. */
export function StepLines({ series, label, top, bottom, left, right, low, high }: StepLinesProps) {
  const all = series.flatMap(({ steps }) => steps);
  const from = Math.min(...all.map(step => step.from));
  const to = Math.max(...all.map(step => step.to));
  const x = (at: number): number => ((at - from) / (to - from || 1)) * WIDTH;
  const y = (value: number): number => HEIGHT - ((value - low) / (high - low || 1)) * HEIGHT;
  return (
    <div class="level-chart">
      <span class="level-scale" aria-hidden="true">
        <span>{top}</span>
        <span>{bottom}</span>
      </span>
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={label} preserveAspectRatio="none">
        {series.map(({ name, steps }, i) => (
          <path
            key={name}
            class={`step-line dash-${i}`}
            d={steps.map(step => `M${x(step.from)} ${y(step.value)}H${x(step.to)}`).join('')}
          />
        ))}
      </svg>
      <p class="step-ends" aria-hidden="true">
        <span>{left}</span>
        <span>{right}</span>
      </p>
      <ul class="step-names">
        {series.map(({ name }, i) => (
          <li key={name}>
            <svg viewBox="0 0 40 8" width="40" height="8" aria-hidden="true">
              <path class={`step-line dash-${i}`} d="M0 4H40" />
            </svg>{' '}
            <bdi>{name}</bdi>
          </li>
        ))}
      </ul>
    </div>
  );
}
