import { useEffect, useState } from 'preact/hooks';
import type { System } from '#core/messages/api-lists';
import { useApp } from '../../app-context.ts';
import { format, text } from '../../text/text.ts';

const GB = 1e9;

/** How much room the truck's store has, and how many days that is. */
export function TruckRoom() {
  const { api } = useApp();
  const [system, setSystem] = useState<System | null>(null);
  useEffect(() => {
    let left = false;
    api.get<System>(['system']).then(
      now => {
        if (!left) setSystem(now);
      },
      () => undefined,
    );
    return () => {
      left = true;
    };
  }, [api]);
  const t = text.value.truck;
  return (
    <>
      <h2>{t.storeTitle}</h2>
      {system === null ? <p>{t.storeUnknown}</p> : <Room store={system.store} />}
    </>
  );
}

function Room({ store }: { store: System['store'] }) {
  const t = text.value.truck;
  const { fixed, plural } = format();
  const { freeBytes, totalBytes, bytesPerDay, daysLeft } = store.room;
  const known = freeBytes !== null && totalBytes !== null;
  return (
    <ul>
      <li>{t.size(fixed(store.bytes / GB, 2), fixed(store.records, 0))}</li>
      <li>
        {known ? t.free(fixed(freeBytes / GB, 1), fixed((freeBytes / totalBytes) * 100, 0)) : t.storeUnknown}
      </li>
      <li>
        {daysLeft !== null
          ? t.daysLeft(plural(Math.floor(daysLeft), t.days))
          : bytesPerDay === null
            ? t.daysUnknown
            : t.nothingRecorded}
      </li>
    </ul>
  );
}
