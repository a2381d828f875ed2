import { useEffect, useState } from 'preact/hooks';
import type { AlarmHistory } from '#core/messages/api-alarm';
import { useApp } from '../../app-context.ts';
import { placeWords } from '../../parts/alarm-words.ts';
import { whenText } from '../../parts/when-text.ts';
import { format, text } from '../../text/text.ts';
import { usePeople } from '../verify/use-people.ts';

type Entry = AlarmHistory['entries'][number];

/** The log, newest first; read again when something new is announced. */
export function HistoryList() {
  const { api, alarms } = useApp();
  const t = text.value.alarms.history;
  const { nameOf } = usePeople();
  const [entries, setEntries] = useState<readonly Entry[] | null>(null);
  const [next, setNext] = useState<string | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  const picture = alarms.picture.value;

  const read = async (before: string | null): Promise<void> => {
    try {
      const query = { limit: '50', ...(before === null ? {} : { before }) };
      const page = await api.get<AlarmHistory>(['alarms', 'history'], query);
      setEntries(known => (before === null ? page.entries : [...(known ?? []), ...page.entries]));
      setNext(page.next);
      setFailure(null);
    } catch (error) {
      setFailure(error instanceof Error ? error.message : '');
    }
  };
  // Whatever changed the picture is in the log.
  useEffect(() => {
    void read(null);
  }, [api, picture?.alarms, picture?.away.length]);

  if (failure !== null)
    return <p class="message nodata">{t.failed(failure === '' ? text.value.alarms.noServer : failure)}</p>;
  if (entries === null) return <p>{t.loading}</p>;
  return (
    <>
      {entries.length === 0 && <p>{t.none}</p>}
      <ol class="alarm-history">
        {entries.map(entry => (
          <HistoryLine key={entry.number} entry={entry} nameOf={nameOf} />
        ))}
      </ol>
      {next !== null && (
        <button type="button" onClick={() => void read(next)}>
          {t.more}
        </button>
      )}
      <p class="note">{t.note}</p>
    </>
  );
}

function HistoryLine({ entry, nameOf }: { readonly entry: Entry; readonly nameOf: (id: string) => string }) {
  const t = text.value.alarms;
  const { at, what, about, cause, rig, by, reason } = entry;
  const where = about === null ? [rig ?? t.dashboard] : placeWords(about);
  return (
    <li data-what={what}>
      <time dateTime={at}>
        {whenText(at)}:{format().timeOfDay(Date.parse(at)).slice(-2)}
      </time>
      <span>
        <strong>{t.history.what[what]}</strong>: {about !== null && `${t.priority[about.priority]} `}
        {t.cause[cause]} · <bdi>{where.join(' · ')}</bdi>
        {by !== null && <>, {nameOf(by)}</>}
        {reason !== null && <>: {reason}</>}
      </span>
    </li>
  );
}
