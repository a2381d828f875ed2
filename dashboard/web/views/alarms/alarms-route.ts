/** Alarms: those of now, what is put away, what was announced and done. */
export const ALARM_TABS = ['now', 'away', 'history'] as const;
export type AlarmTab = (typeof ALARM_TABS)[number];
export interface AlarmsRoute {
  readonly view: 'alarms';
  readonly tab: AlarmTab;
}

/** `alarms` or `alarms/<tab>`, already decoded; null for any other path. */
export function parseAlarmsRoute(parts: readonly (string | undefined)[]): AlarmsRoute | null {
  const [top, tab] = parts;
  if (top !== 'alarms') return null;
  return { view: 'alarms', tab: ALARM_TABS.find(one => one === tab) ?? 'now' };
}

export const alarmsUrl = ({ tab }: Pick<AlarmsRoute, 'tab'>): string =>
  tab === 'now' ? '#/alarms' : `#/alarms/${tab}`;
