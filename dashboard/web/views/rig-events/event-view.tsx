import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { rememberedPerson, rememberPerson } from '../../data/remembered-person.ts';
import { routeUrl } from '../../routes.ts';
import { format, text } from '../../text/text.ts';
import { NEW_PERSON } from '../assign/assign-form.ts';
import { failureText } from '../verify/save-block.tsx';
import { useDraft } from '../verify/use-draft.ts';
import { usePeople } from '../verify/use-people.ts';
import { verifyUrl } from '../verify/verify-route.ts';
import { isNamed, type Who, WhoField } from '../verify/who-field.tsx';
import { EventDetails, EventPicks } from './event-fields.tsx';
import {
  draftOf,
  EMPTY_EVENT,
  type EventDraft,
  eventEntry,
  happenedMs,
  missingInEvent,
  shiftDateOf,
} from './event-form.ts';
import { EventList } from './event-list.tsx';
import { rigEventUrl } from './event-route.ts';
import { type RigEvents, useRigEvents } from './use-rig-events.ts';

interface RigEventViewProps {
  readonly site: string;
  readonly rig: string;
  readonly corrects: string | null;
}

/** What happened at a rig that no sensor tells: tap it, tap save. */
export function RigEventView({ site, rig, corrects }: RigEventViewProps) {
  const t = text.value;
  const e = t.rigEvents;
  const events = useRigEvents(site, rig);
  const people = usePeople();
  const name = t.rig(rig);
  const top = useRef<HTMLHeadingElement>(null);
  // On a phone the events and the save button are to be seen at once, without scrolling in gloves.
  useEffect(() => {
    if (window.matchMedia('(max-width: 600px)').matches) top.current?.scrollIntoView();
  }, []);
  const corrected = events.all?.find(({ id }) => id === corrects) ?? null;
  return (
    <section class="sheet form-sheet rig-event">
      <h1 ref={top}>{corrects === null ? e.title(name) : e.titleCorrect(name)}</h1>
      {corrects === null ? (
        <EventSheet site={site} rig={rig} corrects={null} initial={EMPTY_EVENT} people={people} />
      ) : corrected !== null ? (
        <EventSheet site={site} rig={rig} corrects={corrects} initial={draftOf(corrected)} people={people} />
      ) : (
        <p>{events.all === null ? t.empty.connecting : e.notFound}</p>
      )}
      <p class="form-actions">
        <a class="button" href="#/">
          {t.back}
        </a>
        <a class="button" href={routeUrl({ view: 'trends', site, rig, spanS: 300 })}>
          {e.toTrends}
        </a>
        <a class="button" href={verifyUrl({ site, rig, check: null })}>
          {e.toChecks}
        </a>
      </p>
      <Before site={site} rig={rig} events={events} nameOf={people.nameOf} />
    </section>
  );
}

interface EventSheetProps {
  readonly site: string;
  readonly rig: string;
  readonly corrects: string | null;
  readonly initial: EventDraft;
  readonly people: ReturnType<typeof usePeople>;
}

function EventSheet({ site, rig, corrects, initial, people }: EventSheetProps) {
  const { api, changes, rigs } = useApp();
  const t = text.value.rigEvents;
  const remembered = useMemo(() => rememberedPerson(localStorage), []);
  const [draft, change, clear] = useDraft(`girthlog.event.${site}/${rig}/${corrects ?? ''}`, () => initial);
  const [who, setWho] = useState<Who>({ who: remembered?.id ?? '', newName: '' });
  const [other, setOther] = useState(remembered === null);
  const [tries, setTries] = useState(0);
  const [busy, setBusy] = useState(false);
  const [failure, setFailure] = useState<string | null>(null);
  const [saved, setSaved] = useState<string | null>(null);
  const told = useRef<HTMLParagraphElement>(null);
  // The clock of the screen; the time of a tap is taken where it falls.
  const nowMs = Math.max(rigs.nowMs.value, Number(draft.tappedMs));
  const missing = missingInEvent(draft, nowMs, corrects !== null);
  // Nobody else can be chosen while the names cannot be read; who is remembered still can enter.
  const named = isNamed(who, people.all) || (remembered !== null && who.who === remembered.id);

  useEffect(() => {
    if (tries > 0) document.querySelector<HTMLElement>('[aria-invalid="true"]')?.focus();
  }, [tries]);
  useEffect(() => {
    if (saved !== null) told.current?.focus();
  }, [saved]);

  async function save(): Promise<void> {
    setFailure(null);
    setSaved(null);
    if (missing.length > 0 || !named) {
      if (!named) setOther(true);
      setTries(n => n + 1);
      return;
    }
    setBusy(true);
    try {
      const author = await people.idOf(who);
      const name = who.who === NEW_PERSON ? who.newName.trim() : nameOf(author);
      rememberPerson(localStorage, { id: author, name });
      setWho({ who: author, newName: '' });
      setOther(false);
      const entry = await api.addEntry(eventEntry(draft, { site, rig, author, corrects }, Date.now()));
      changes.entered(entry);
      const at = happenedMs(draft, nowMs) ?? nowMs;
      setSaved(t.saved(draft.event === '' ? '' : t.names[draft.event], format().timeOfDay(at)));
      setTries(0);
      clear();
      if (corrects !== null) window.location.hash = rigEventUrl(site, rig);
    } catch (error) {
      setFailure(failureText(error));
    } finally {
      setBusy(false);
    }
  }

  function nameOf(id: string): string {
    return id === remembered?.id && people.nameOf(id) === id ? remembered.name : people.nameOf(id);
  }

  const shown = tries === 0 ? [] : missing;
  const happened = happenedMs(draft, nowMs);
  const whoName = who.who === NEW_PERSON ? who.newName.trim() : who.who === '' ? '' : nameOf(who.who);
  return (
    <form
      noValidate
      onSubmit={event => {
        event.preventDefault();
        void save();
      }}
    >
      <p class="saved-note" ref={told} tabIndex={-1} role="status">
        {saved}
      </p>
      <EventPicks
        draft={draft}
        error={shown.includes('event')}
        pick={event => {
          setSaved(null);
          change({ event, tappedMs: draft.tappedMs === '' ? String(Date.now()) : draft.tappedMs });
        }}
      />
      <p class="hint">{t.note}</p>
      {draft.event !== '' && (
        <EventDetails
          draft={draft}
          missing={shown}
          correcting={corrects !== null}
          shiftDate={shiftDateOf(draft, nowMs)}
          change={change}
        />
      )}
      {!other && (
        <p class="form-actions">
          <button type="button" onClick={() => setOther(true)}>
            {t.changeWho}
          </button>
        </p>
      )}
      {other && (
        <>
          <p class="hint">{t.whoMissing}</p>
          <WhoField
            id="who"
            label={text.value.work.who}
            value={who}
            people={people.all}
            error={tries > 0 && !named ? t.missing.who : null}
            change={part => setWho(now => ({ ...now, ...part }))}
          />
        </>
      )}
      <div class="save-bar">
        <div role="alert">
          {failure !== null && (
            <p class="message out">
              {failure} {t.kept}
            </p>
          )}
        </div>
        <button class="primary save" type="submit" disabled={busy}>
          {busy ? t.saving : draft.event === '' ? t.savePlain : t.save(t.names[draft.event])}
        </button>
        <p class="save-by">
          {whoName !== '' && happened !== null && draft.event !== ''
            ? t.as(whoName, format().timeOfDay(happened))
            : whoName !== '' && t.asWho(whoName)}
        </p>
      </div>
    </form>
  );
}

interface BeforeProps {
  readonly site: string;
  readonly rig: string;
  readonly events: RigEvents;
  readonly nameOf: (id: string) => string;
}

function Before({ site, rig, events, nameOf }: BeforeProps) {
  const t = text.value.rigEvents;
  return (
    <>
      <h2>{t.listTitle}</h2>
      {events.failure !== null && (
        <p class="message nodata">
          {t.listFailed(events.failure === '' ? text.value.work.noServer : events.failure)}
        </p>
      )}
      {events.all !== null && events.all.length === 0 && <p>{t.listNone}</p>}
      {events.all !== null && events.all.length > 0 && (
        <EventList events={events.all} nameOf={nameOf} correctUrl={id => rigEventUrl(site, rig, id)} />
      )}
    </>
  );
}
