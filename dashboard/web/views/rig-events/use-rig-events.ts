import { useEffect, useState } from 'preact/hooks';
import { useApp } from '../../app-context.ts';
import { isRigEvent, type RigEventEntry } from './event-form.ts';

export interface RigEvents {
  /** Newest first, corrected ones too; null before the first answer. */
  readonly all: readonly RigEventEntry[] | null;
  /** Why the last reading failed; empty where nobody answered. */
  readonly failure: string | null;
}

/** The newest events entered at a rig; read again whenever the stream tells of an entry. */
export function useRigEvents(site: string, rig: string): RigEvents {
  const { api, changes } = useApp();
  const [events, setEvents] = useState<RigEvents>({ all: null, failure: null });
  const version = changes.rigs.value;
  useEffect(() => {
    let left = false;
    api.entries({ subject: `rig ${site}/${rig}`, kind: 'rigEvent', limit: '50' }).then(
      ({ entries }) => {
        if (!left) setEvents({ all: entries.filter(isRigEvent), failure: null });
      },
      (error: unknown) => {
        const failure = error instanceof Error ? error.message : '';
        if (!left) setEvents(known => ({ ...known, failure }));
      },
    );
    return () => {
      left = true;
    };
  }, [api, site, rig, version]);
  return events;
}
