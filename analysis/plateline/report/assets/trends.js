/* One lift at a time: which lift, which measure, which stretch of time, which unit. */
(() => {
  "use strict";
  const { draw, walkable, hide } = window.plateline;
  const data = JSON.parse(document.getElementById("pl-lifts").textContent);
  const LB = 1 / 0.45359237;
  const DAY = 864e5;
  const MANY = 250;

  /* Days and log lines are written as steps from the row before. */
  const summed = (steps) => {
    let sum = 0;
    return steps.map((step) => (step === null ? null : (sum += step)));
  };
  for (const lift of data.lifts) {
    for (const part of [lift.past, lift.ahead, lift.weeks]) part.d = summed(part.d);
    lift.past.n = summed(lift.past.n);
  }

  const at = (ident) => document.getElementById(ident);
  const chosen = (name) => document.querySelector(`input[name="pl-${name}"]:checked`);
  const choose = (name, value) => {
    for (const input of document.querySelectorAll(`input[name="pl-${name}"]`)) input.checked = input.value === value;
  };

  const state = { lift: 0, measure: "", unit: data.unit, from: 0, to: 0 };
  let detail = null;
  let turn = 0;

  /* A day number is a calendar day where the reader is. */
  const ms = (day) => new Date(1970, 0, 1 + day).getTime();
  const dayText = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short", year: "numeric" });
  const per = () => (state.unit === "lb" ? LB : 1);
  const trim = (value, digits) => String(Number(value.toFixed(digits)));
  const load = (kg) => `${trim(kg * per(), state.unit === "kg" ? 2 : 1)} ${state.unit}`;
  const estimate = (kg) => {
    const value = kg * per();
    return `${trim(value, Math.abs(value) >= 100 ? 0 : 1)} ${state.unit}`;
  };
  /* Where body mass is not known, only ratios mean something: % of where the line begins. */
  const scaled = (lift) => lift.percent ?? per();
  const said = (lift, kg) => (lift.percent === null ? estimate(kg) : `${trim(kg * lift.percent, 1)} % of its start`);
  const whole = (kg) => `${Math.round(kg * per()).toLocaleString("en-GB")} ${state.unit}`;

  const setText = (kg, reps, reserve) => {
    const weight = kg === 0 ? "body mass" : kg < 0 ? `${load(-kg)} assistance` : load(kg);
    return `${weight} × ${reps}${reserve === null ? "" : `, ${reserve} in reserve`}`;
  };

  /* What a lift's own scale is multiplied by to show a measure; null where only sets can show it. */
  const factor = (lift) => {
    if (state.measure === "max") return lift.scale === "max" ? 1 : null;
    return lift.scale === "working" ? 1 : lift.share;
  };

  /* Lifts of body mass alone have no volume-load; their volume is their reps. */
  const byReps = (lift) => !lift.weeks.v.some((value) => value > 0);

  const title = (lift) => {
    if (state.measure === "volume") return byReps(lift) ? "Reps a week" : `Volume-load a week, ${state.unit}`;
    if (state.measure === "max") return `Estimated one-rep maximum, ${lift.percent === null ? state.unit : "% of its start"}`;
    const unit = lift.percent === null ? state.unit : "% of its start";
    return `Working strength for ${trim(lift.reps ?? 0, 0)} reps to failure, ${unit}`;
  };

  /* No line is drawn between days far apart: rows get the number of their stretch. */
  const parted = (rows) => {
    let part = 0;
    rows.forEach((row, i) => {
      if (i && row.d - rows[i - 1].d > data.apart * DAY) part += 1;
      row.g = part;
    });
    return rows;
  };

  const strengthRows = (lift) => {
    const k = factor(lift);
    const { past, ahead } = lift;
    const scale = (lift.percent === null ? k ?? 1 : 1) * scaled(lift);
    const points = [];
    const line = [];
    past.d.forEach((day, i) => {
      const own = lift.percent === null ? k : 1;
      const says = k === null ? past.m[i] : past.o[i] === null ? null : past.o[i] * own;
      if (says !== null) {
        points.push({
          d: ms(day), v: says * scaled(lift), day: dayText.format(ms(day)),
          set: setText(past.kg[i], past.r[i], past.i[i]), value: said(lift, says),
          row: past.s[i] === null ? "" : `${data.files[past.s[i]]}, line ${past.n[i]}`,
        });
      }
      if (k !== null && past.f[i] !== null) {
        line.push({ d: ms(day), f: past.f[i] * scale, l: past.l[i] * scale, h: past.h[i] * scale });
      }
    });
    const next = k === null ? [] : ahead.d.map((day, i) => (
      { d: ms(day), f: ahead.f[i] * scale, l: ahead.l[i] * scale, h: ahead.h[i] * scale }
    ));
    const first = past.d[0];
    const reach = past.d[past.d.length - 1] - first;
    return {
      points,
      line: parted(line),
      ahead: line.length && next.length ? [line[line.length - 1], ...next] : [],
      spans: (k === null ? [] : lift.spans).map(([from, to, what]) => ({ d: ms(from), e: ms(to), t: what })),
      since: lift.since === null || k === null ? [] : [{
        d: ms(lift.since), late: lift.since - first > 0.6 * reach,
        t: `${lift.state} since ${dayText.format(ms(lift.since))}`,
      }],
    };
  };

  const volumeRows = (lift) => ({
    bars: lift.weeks.d.map((day, i) => ({
      d: ms(day), e: ms(day + 6), v: byReps(lift) ? lift.weeks.r[i] : lift.weeks.v[i] * per(), week: `week of ${dayText.format(ms(day))}`,
      value: whole(lift.weeks.v[i]), reps: lift.weeks.r[i],
    })),
  });

  const overviewRows = (lift) => {
    if (state.measure === "volume") return volumeRows(lift).bars;
    return parted(lift.past.d.map((day, i) => ({ d: ms(day), v: lift.past.f[i] ?? lift.past.o[i] }))
      .filter((row) => row.v !== null));
  };

  const reach = (lift) => {
    const days = [...lift.past.d, ...lift.ahead.d, ...lift.weeks.d];
    const first = Math.min(...days);
    const last = Math.max(...days);
    const edge = Math.max(2, Math.round((last - first) * 0.01));
    return [ms(first - edge), ms(last + edge)];
  };

  /* Years of sessions: small pale points under the line, not a wall of circles over it. */
  const thinned = (spec) => {
    const points = spec.layer.find((part) => part.data.name === "points");
    points.mark.strokeOpacity = 0.45;
    points.mark.fillOpacity = 0;
    points.encoding.size.value = 14;
    spec.layer = [points, ...spec.layer.filter((part) => part !== points)];
  };

  /* A template with its data; parts that have none are left out. */
  const filled = (template, lift, datasets, extra = {}) => {
    const spec = JSON.parse(JSON.stringify(template).replaceAll('"TITLE"', JSON.stringify(title(lift))));
    if (spec.layer) spec.layer = spec.layer.filter((part) => datasets[part.data.name].length);
    if (datasets.points?.length > MANY) thinned(spec);
    return { ...spec, ...extra, datasets };
  };

  const slide = (from, to) => {
    state.from = from;
    state.to = to;
    detail?.signal("from", from).signal("to", to).runAsync();
  };

  const drawOverview = async (lift) => {
    const [first, last] = reach(lift);
    const spec = filled(data.overview, lift, { all: overviewRows(lift) });
    spec.encoding.x.scale = { domainMin: { expr: String(first) }, domainMax: { expr: String(last) }, nice: false };
    if (state.from > first || state.to < last) {
      spec.params[0].value = { x: [Math.max(first, state.from), Math.min(last, state.to)] };
    }
    const view = await draw(at("pl-overview"), spec);
    view.addSignalListener("brush", (_, value) => {
      const [from, to] = value?.d ?? [first, last];
      choose("stretch", value?.d ? "" : "0");
      slide(+from, +to);
    });
  };

  const drawDetail = async (lift) => {
    const volume = state.measure === "volume";
    const params = [{ name: "from", value: state.from }, { name: "to", value: state.to }];
    const rows = volume ? volumeRows(lift) : strengthRows(lift);
    const mine = ++turn;
    const view = await draw(at("pl-detail"), filled(volume ? data.volume : data.strength, lift, rows, { params }));
    if (mine === turn) detail = view;
  };

  const says = (lift) => {
    const card = document.querySelector(`.pl-card[data-lift="${state.lift}"] > p`);
    const few = state.measure === "max" && lift.scale !== "max";
    const note = few
      ? " Most of its sets are too long for an honest e1RM; the short ones are shown."
      : "";
    return card.textContent + note;
  };

  const redraw = async () => {
    hide();
    const lift = data.lifts[state.lift];
    at("pl-window-name").textContent = lift.name;
    for (const card of document.querySelectorAll(".pl-card")) {
      card.classList.toggle("pl-chosen", Number(card.dataset.lift) === state.lift);
    }
    await drawDetail(lift);
    at("pl-window-says").textContent = says(lift);
    await drawOverview(lift);
    document.documentElement.dataset.shown = `${state.lift} ${state.measure} ${state.unit}`;
  };

  const all = () => { [state.from, state.to] = reach(data.lifts[state.lift]); };

  /* e1RM can be chosen where a lift has sets that are short enough for it. */
  const hasMax = (lift) => lift.scale === "max" || lift.past.m.some((value) => value !== null);

  const pick = (place) => {
    state.lift = place;
    document.querySelector('input[name="pl-measure"][value="max"]').disabled = !hasMax(data.lifts[place]);
    at("pl-pick").value = String(place);
    if (state.measure !== "volume") state.measure = data.lifts[place].scale;
    choose("measure", state.measure);
    choose("stretch", "0");
    all();
    return redraw();
  };

  const inUnit = () => {
    for (const node of document.querySelectorAll("data.pl-load")) {
      const kg = Number(node.value);
      if (node.dataset.kind === "end") {
        /* The ends of an interval have the same digits; the upper one has the unit. */
        const top = Number(node.dataset.top);
        const end = (kg * per()).toFixed(top * per() >= 100 ? 0 : 1);
        node.textContent = kg === top ? `${end}\u00a0${state.unit}` : end;
        continue;
      }
      const text = node.dataset.kind === "load" ? load(kg) : estimate(kg);
      node.textContent = text.replace(" ", "\u00a0");
    }
  };

  at("pl-pick").addEventListener("change", (event) => pick(Number(event.target.value)));
  document.addEventListener("change", (event) => {
    const { name, value } = event.target;
    if (name === "pl-measure") state.measure = value;
    else if (name === "pl-unit") { state.unit = value; inUnit(); }
    else if (name === "pl-stretch") {
      all();
      if (value !== "0") state.from = Math.max(state.from, state.to - Number(value) * DAY);
    } else return;
    redraw();
  });
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[data-lift]");
    if (link) pick(Number(link.dataset.lift));
  });

  document.documentElement.classList.add("pl-js");
  walkable(at("pl-detail"));
  choose("unit", state.unit);
  pick(0);
})();
