/* The stretch "Orders": each sentence with its numbers to tap, read back by the core; new ones built by tapping. */
import { useEffect, useId, useRef, useState } from 'preact/hooks';
import type { SettingsLine } from '../core/door';
import { useWords } from '../i18n/words';
import { spokenNumber, typedText, type Dimension } from '../sheet/quantity';
import { scaleOf, settingsIn, withSetting, type Setting } from '../sheet/settings';
import { clockOf, readings } from '../sheet/typed';
import { sentencesOf, setSetting } from '../plot/DayCharts';
import { letGo, problemsNow } from '../state/ask';
import { edit, store } from '../state/job';
import { useStore } from '../state/store';
import { Builder } from './Builder';
import { Safety, settingsCautions } from './Caution';
import { Assumed } from './Field';

/** A slider on the scale that suits the setting. */
export function SettingSlider({ setting, label }: { setting: Setting; label: string }) {
  const units = useStore(store, (state) => state.units);
  const scale = scaleOf(setting);
  const [held, hold] = useState<number | null>(null); // where the hand has it, until the sheet has followed with the day
  useEffect(() => { if (held === scale.at(setting.value)) hold(null); }, [setting.text]);
  const release = (): void => {
    letGo();
    hold(null);
  };
  return (
    <div class="slider">
      <input type="range" min={0} max={scale.steps} step={1} value={held ?? scale.at(setting.value)} aria-label={label} aria-valuetext={setting.text}
        onInput={(event) => {
          const at = Number(event.currentTarget.value);
          if (setSetting(setting, scale.value(at), units, true)) hold(at);
        }}
        onChange={release} onPointerUp={release} onBlur={release} />
      <output>{setting.text}</output>
    </div>
  );
}

/* The sentence in pieces: words, and numbers that can be tapped. */
function Pieces({ text, settings, chosen, choose }: { text: string; settings: Setting[]; chosen: number | null; choose(i: number | null): void }) {
  const pieces = [];
  let at = 0;
  settings.forEach((setting, i) => {
    pieces.push(<span>{text.slice(at, setting.start)}</span>);
    pieces.push(
      <button type="button" class="number" aria-expanded={chosen === i} onClick={() => choose(chosen === i ? null : i)}>{setting.text}</button>,
    );
    at = setting.end;
  });
  pieces.push(<span>{text.slice(at)}</span>);
  return <p class="sentence-words">{pieces}</p>;
}

/* The number typed in its place; what has two readings is asked back. */
function NumberTyped({ sentence, text, setting }: { sentence: number; text: string; setting: Setting }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const [asked, ask] = useState<string[]>([]);
  const clock = setting.kind === 'clock';
  const write = (typed: string): void => {
    ask([]);
    const unit = setting.text.replace(/^[-\d.,\s]+/, '');
    const whole = clock ? clockOf(typed) : /^\s*-?[\d.]+\s*$/.test(typed) && !/\d/.test(unit) ? `${typed.trim()} ${unit}`.trim() : typedText(typed, setting.kind as Dimension, units);
    if (whole !== '' && whole !== setting.text) edit.value(['settings', sentence], withSetting(text, setting, whole));
  };
  const take = (typed: string): void => {
    const ways = clock ? [] : readings(typed);
    if (ways.length > 1) ask(ways);
    else write(ways[0] ?? typed);
  };
  return (
    <div class="number-typed">
      <input type="text" inputMode={clock || setting.kind === 'time' ? 'text' : 'decimal'} defaultValue={setting.text} key={setting.text} autocomplete="off"
        aria-label={t('settings.type', { what: setting.text, n: sentence + 1 })} onFocus={(event) => event.currentTarget.select()} onChange={(event) => take(event.currentTarget.value)} />
      {asked.length > 0 && <div class="asked-back" role="group" aria-label={t('field.which')}><p>{t('field.which')}</p>
        {asked.map((way) => <button type="button" onClick={() => write(way)}>{spokenNumber(way)}</button>)}</div>}
    </div>
  );
}

interface Wrong { words: string; column: number; found: string; warning: boolean }

/** Problems of one sentence, the wrong word marked. */
function Wrongs({ text, wrongs }: { text: string; wrongs: Wrong[] }) {
  return (
    <div class="problems" aria-live="polite">
      {wrongs.map((wrong) => (
        <>
          {wrong.column > 0 && wrong.found !== '' && text.slice(wrong.column - 1).startsWith(wrong.found) && (
            <p class="pointed" aria-hidden="true">{text.slice(0, wrong.column - 1)}<mark>{wrong.found}</mark>{text.slice(wrong.column - 1 + wrong.found.length)}</p>
          )}
          <p class={wrong.warning ? 'warning' : 'error'}>{wrong.words}</p>
        </>
      ))}
    </div>
  );
}

const toldOf = (line: SettingsLine | undefined): string | undefined => line?.told ?? line?.words;

function Sentence({ index, count }: { index: number; count: number }) {
  const t = useWords();
  const id = useId();
  const text = useStore(store, (state) => sentencesOf(state.sheet.site)[index] ?? '');
  const back = useStore(store, (state) => (
    // only when it is about these very words: while a number is dragged the answer is behind, and must not flash up
    state.settings?.ok && state.settingsOf === state.sheet ? toldOf(state.settings.sentences.find((line) => line.sentence === index)) : undefined));
  const watch = useStore(store, (state) => (state.settings?.ok ? state.settings.sentences.find((line) => line.sentence === index)?.watch : false));
  const wrongs = JSON.parse(useStore(store, (state) => JSON.stringify(problemsNow(state).filter((problem) => problem.paths === `settings[${index}]`)))) as Wrong[];
  const [chosen, choose] = useState<number | null>(null);
  const [typing, type] = useState(false);
  const box = useRef<HTMLInputElement>(null);
  useEffect(() => { if (typing) box.current?.focus(); }, [typing]);
  const numbers = useStore(store, (state) => state.numbers);
  const settings = settingsIn(sentencesOf(store.get().sheet.site), numbers).filter((setting) => setting.sentence === index);
  const setting = chosen === null ? undefined : settings[chosen];
  return (
    <li class={watch ? 'sentence watch' : 'sentence'} data-sentence={index}>
      {typing ? (
        <input ref={box} id={id} type="text" class="sentence-text" defaultValue={text} aria-label={t('settings.sentence', { n: index + 1 })}
          autocomplete="off" autocapitalize="off" spellcheck={false}
          onChange={(event) => { if (event.currentTarget.value.trim()) edit.value(['settings', index], event.currentTarget.value.trim()); }}
          onBlur={() => type(false)} onKeyDown={(event) => { if (event.key === 'Enter') event.currentTarget.blur(); }} />
      ) : <Pieces text={text} settings={settings} chosen={chosen} choose={choose} />}
      {setting && <NumberTyped key={chosen} sentence={index} text={text} setting={setting} />}
      {setting && <SettingSlider setting={setting} label={t('settings.change', { what: setting.text, n: index + 1 })} />}
      {back !== undefined && back.toLowerCase() !== text.toLowerCase().replace(/\.$/, '') && <p class="back">{t('settings.back')} <i>{back}</i></p>}
      <Assumed path={['settings', index]} name={t('settings.sentence', { n: index + 1 })} />
      <Wrongs text={text} wrongs={wrongs} />
      <div class="row">
        <button type="button" class="quiet" onClick={() => type(true)}>{t('settings.write')}</button>
        <button type="button" class="quiet" disabled={index === 0} aria-label={t('settings.up', { n: index + 1 })}
          onClick={() => edit.move(['settings'], index, index - 1)}>↑</button>
        <button type="button" class="quiet" disabled={index === count - 1} aria-label={t('settings.down', { n: index + 1 })}
          onClick={() => edit.move(['settings'], index, index + 1)}>↓</button>
        <button type="button" class="quiet" aria-label={t('settings.remove', { n: index + 1 })} onClick={() => edit.remove(['settings', index])}>×</button>
      </div>
    </li>
  );
}

export function Settings() {
  const t = useWords();
  const count = useStore(store, (state) => sentencesOf(state.sheet.site).length);
  const general = JSON.parse(useStore(store, (state) => JSON.stringify(
    problemsNow(state).filter((problem) => problem.paths === 'settings').map((problem) => problem.words)))) as string[];
  const cautions = useStore(store, (state) => settingsCautions(sentencesOf(state.sheet.site)).join(' '));
  return (
    <>
      <p class="says">{t('settings.says')}</p>
      <ol class="sentences">
        {Array.from({ length: count }, (_, index) => <Sentence key={index} index={index} count={count} />)}
      </ol>
      {general.map((words) => <p class="error">{words}</p>)}
      <Builder />
      <Safety names={cautions.split(' ')} />
    </>
  );
}
