import type { JointState } from '#core/messages/api-journal';
import { HoldMark } from '../../parts/hold-mark.tsx';
import { whenText } from '../../parts/when-text.ts';
import { durationText, oClockText } from '../../text/format.ts';
import { format, text } from '../../text/text.ts';
import { storedText } from '../../text/typed-number.ts';
import { CREW_FIELDS, processOf, warningText } from './forms/crew-form.tsx';
import type { FormContext } from './forms/joint-form.ts';
import { type JointTask, taskUrl } from './joint-routes.ts';
import { standingEntries } from './pass-work.ts';
import { shownTemperatureUnit, temperatureText, UNIT_WORD } from './temperature-unit.ts';

interface SectionProps {
  readonly joint: string;
  readonly title: string;
  readonly tasks: readonly { readonly task: JointTask; readonly label: string }[];
  readonly children: preact.ComponentChildren;
}

function Section({ joint, title, tasks, children }: SectionProps) {
  return (
    <section class="joint-facts">
      <h2>{title}</h2>
      {children}
      <p class="form-actions">
        {tasks.map(({ task, label }) => (
          <a key={task} class="button" href={taskUrl(joint, task)}>
            {label}
            <span class="sr-only">: {title}</span>
          </a>
        ))}
      </p>
    </section>
  );
}

function Rows({ rows }: { readonly rows: readonly (readonly [string, string | null | undefined])[] }) {
  return (
    <dl class="result-rows">
      {rows.map(([label, value]) => (
        <div key={label}>
          <dt>{label}</dt>
          <dd data-missing={value == null}>
            <bdi>{value ?? text.value.joints.notEntered}</bdi>
          </dd>
        </div>
      ))}
    </dl>
  );
}

interface JointFactsProps {
  readonly context: FormContext;
  readonly state: JointState;
}

/** What is entered of a joint beside its passes. */
export function JointFacts({ context, state }: JointFactsProps) {
  const t = text.value;
  const j = t.joints;
  const e = t.jointEntries;
  const { units } = format();
  const { joint, nameOf } = context;
  const p = state.particulars;
  const pipe = (one: typeof p.upstreamPipe): string | null =>
    one === undefined
      ? null
      : `${one.number}${one.heat === undefined ? '' : `, ${e.heat.toLowerCase()} ${one.heat}`}`;
  const enterOrChange = (has: boolean): string => (has ? j.change : j.enter);
  const process = processOf(context);
  const warnings = [...new Set([state.crew?.operatorA, state.crew?.operatorB])].flatMap(id =>
    id == null ? [] : (warningText(id, context, process) ?? []),
  );
  return (
    <>
      <Section
        joint={joint}
        title={j.particularsTitle}
        tasks={[{ task: 'particulars', label: enterOrChange(Object.keys(p).length > 0) }]}
      >
        <Rows
          rows={[
            [e.station, p.station],
            [e.scope, p.scope],
            [e.upstream, pipe(p.upstreamPipe)],
            [e.downstream, pipe(p.downstreamPipe)],
            [
              e.outsideDiameter(units.size.unit),
              p.outsideDiameterMm === undefined ? null : storedText('size', p.outsideDiameterMm),
            ],
            [
              e.wall(units.size.unit),
              p.wallThicknessMm === undefined ? null : storedText('size', p.wallThicknessMm),
            ],
            [
              e.procedure,
              p.procedureId === undefined
                ? null
                : e.words.wpsRevision(p.procedureId, String(p.procedureRevision ?? '')),
            ],
            [e.weather, p.weather],
          ]}
        />
      </Section>
      <Section
        joint={joint}
        title={j.lotsTitle}
        tasks={[
          { task: 'lots', label: enterOrChange(state.wireLot !== null || state.gasLot !== null) },
          { task: 'polarity', label: e.tasks.polarity },
        ]}
      >
        <Rows
          rows={[
            [e.wireLot, state.wireLot],
            [e.gasLot, state.gasLot],
            [j.polarityTitle, state.polarity === null ? null : e.polarity[state.polarity]],
          ]}
        />
      </Section>
      <Section
        joint={joint}
        title={j.crewTitle}
        tasks={[
          { task: 'crew', label: enterOrChange(state.crew !== null) },
          { task: 'qualification', label: e.tasks.qualification },
        ]}
      >
        <Rows
          rows={CREW_FIELDS.map(field => {
            const id = state.crew?.[field] ?? null;
            return [e[field], id === null ? null : nameOf(id)] as const;
          })}
        />
        {warnings.map(warning => (
          <p key={warning} class="message out">
            {warning}
          </p>
        ))}
      </Section>
      <Section
        joint={joint}
        title={j.temperaturesTitle}
        tasks={[{ task: 'temperature', label: j.takeReading }]}
      >
        <Readings state={state} nameOf={nameOf} />
        <TimeBetween context={context} />
      </Section>
    </>
  );
}

interface ReadingsProps {
  readonly state: JointState;
  readonly nameOf: (id: string) => string;
}

function Readings({ state, nameOf }: ReadingsProps) {
  const t = text.value;
  const e = t.jointEntries;
  const unit = shownTemperatureUnit();
  const readings = standingEntries(state.entries).flatMap(({ id, author, body }) =>
    body.kind === 'temperatureReading' ? [{ id, author, body }] : [],
  );
  if (readings.length === 0) return <p>{t.joints.noReadings}</p>;
  return (
    <ul class="readings">
      {readings.map(({ id, author, body }) => (
        <li key={id}>
          <strong>
            {temperatureText(body.valueCel, unit)} {UNIT_WORD[unit]}
          </strong>{' '}
          <bdi>
            {[
              `${e.quantity[body.quantity].toLowerCase()}, ${e.beforePass.toLowerCase()} ${body.pass}`,
              body.clock === null ? e.words.allAround : e.words.atClock(oClockText(body.clock)),
              ...(body.instrument === undefined ? [] : [body.instrument]),
              whenText(body.takenAt),
              nameOf(author),
            ].join(' · ')}
          </bdi>
        </li>
      ))}
    </ul>
  );
}

/** The limit on the time between passes, where the procedure gives one for the next pass. */
function TimeBetween({ context }: { readonly context: FormContext }) {
  const j = text.value.joints;
  const next = context.state?.nextPass ?? null;
  const limit =
    next === null
      ? undefined
      : context.limitsOf(next).find(({ quantity }) => quantity === 'timeBetweenPasses');
  if (limit === undefined) return null;
  const { min, max } = limit;
  const range =
    min !== null && max !== null
      ? j.both(durationText(min), durationText(max))
      : max !== null
        ? j.atMost(durationText(max))
        : min !== null
          ? j.atLeast(durationText(min))
          : null;
  return range === null ? null : <p class="hint">{j.timeBetween(range)}</p>;
}

/** Whether a joint is on hold, with the reason, over everything else. */
export function HoldBanner({
  state,
  nameOf,
}: {
  readonly state: JointState;
  readonly nameOf: (id: string) => string;
}) {
  const j = text.value.joints;
  const hold = state.onHold;
  return (
    <div class={hold === null ? 'hold-line' : 'hold-banner'}>
      {hold !== null && (
        <p>
          <strong>{j.onHold}</strong>{' '}
          <bdi>{j.holdBy(hold.reason, nameOf(hold.author), whenText(hold.at))}</bdi>
        </p>
      )}
      {hold === null && <HoldMark joint={state.joint} />}
      <a class="button" href={taskUrl(state.joint, 'hold')}>
        {hold === null ? j.holdPut : j.holdChange}
      </a>
    </div>
  );
}
