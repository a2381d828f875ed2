import { format, text } from '../../text/text.ts';
import { Choice, TypedField } from '../verify/fields.tsx';
import {
  AGO_MINUTES,
  EVENT_NAMES,
  type EventDraft,
  type EventField,
  MOST_WIRE_KG,
  needsLot,
  needsReason,
} from './event-form.ts';

interface EventPicksProps {
  readonly draft: EventDraft;
  readonly error: boolean;
  readonly pick: (event: (typeof EVENT_NAMES)[number]) => void;
}

/** The events as large buttons: radio inputs underneath, so that keys and screen readers know them. */
export function EventPicks({ draft, error, pick }: EventPicksProps) {
  const t = text.value.rigEvents;
  return (
    <fieldset class="event-picks">
      <legend class="sr-only">{t.pick}</legend>
      {EVENT_NAMES.map(name => (
        <label key={name} class="pick">
          <input
            type="radio"
            name="event"
            value={name}
            checked={draft.event === name}
            aria-invalid={error}
            onChange={() => pick(name)}
          />
          <span>{t.names[name]}</span>
        </label>
      ))}
      {error && <p class="error">{t.missing.event}</p>}
    </fieldset>
  );
}

interface EventDetailsProps {
  readonly draft: EventDraft;
  readonly missing: readonly EventField[];
  readonly correcting: boolean;
  readonly shiftDate: string;
  readonly change: (part: Partial<EventDraft>) => void;
}

/** What some events need beside their name; everything else has a default that is shown. */
export function EventDetails({ draft, missing, correcting, shiftDate, change }: EventDetailsProps) {
  const t = text.value.rigEvents;
  const { event } = draft;
  const { measure, units } = format();
  const sentences = { ...t.missing, wireKg: t.missing.wireKg(measure('wireMass', MOST_WIRE_KG)) };
  const error = (field: EventField): string | null => (missing.includes(field) ? sentences[field] : null);
  const reason = needsReason(event);
  const mechanical = event === 'repair' || event === 'wheelChange' || event === 'bandChange';
  const words = (
    <TypedField
      id="event-words"
      label={reason ? t.reason[event] : t.reason.other}
      {...(event === 'setPointChange' ? { hint: t.authorised } : {})}
      value={draft.words}
      kind="text"
      max={300}
      error={error('reason')}
      type={value => change({ words: value })}
    />
  );
  return (
    <>
      {needsLot(event) && (
        <TypedField
          id="event-lot"
          label={t.lot[event]}
          hint={t.lotHint}
          value={draft.lot}
          kind="text"
          max={60}
          error={error('lot')}
          type={lot => change({ lot })}
        />
      )}
      {event === 'spoolChange' && (
        <TypedField
          id="event-wire-kg"
          label={t.wireKg(units.wireMass.unit)}
          hint={t.wireKgHint}
          value={draft.wireKg}
          error={error('wireKg')}
          type={wireKg => change({ wireKg })}
        />
      )}
      {reason && words}
      {correcting && (
        <TypedField
          id="event-why"
          label={t.whyCorrect}
          value={draft.why}
          kind="text"
          max={300}
          error={error('why')}
          type={why => change({ why })}
        />
      )}
      {mechanical && (
        <p class="note">
          {t.caution} {t.checkAgain}
        </p>
      )}
      <details class="more" open={correcting || missing.includes('when') || missing.includes('shiftDate')}>
        <summary>
          {t.more} · {t.shiftOf(shiftDate)}
        </summary>
        <Choice
          name="ago"
          legend={t.whenLabel}
          options={AGO_MINUTES.map(value => ({
            value,
            label: value === '0' ? t.now : value === 'other' ? t.earlier : t.ago(value),
          }))}
          value={AGO_MINUTES.find(value => value === draft.ago) ?? '0'}
          pick={ago => change({ ago })}
        />
        {draft.ago === 'other' && (
          <TypedField
            id="event-when"
            label={t.earlierLabel}
            value={draft.typedWhen}
            kind="datetime-local"
            error={error('when')}
            type={typedWhen => change({ typedWhen })}
          />
        )}
        <TypedField
          id="event-shift"
          label={t.shiftDate}
          hint={t.shiftDateHint}
          value={shiftDate}
          kind="date"
          error={error('shiftDate')}
          type={value => change({ shiftDate: value })}
        />
        {!reason && words}
      </details>
    </>
  );
}
