package stat

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// built holds, for each method of testdata/published.json that there is code
// for, the check of one entry.
var built = map[string]func(*entry){
	"wilson":           checkWilson,
	"poisson_ci":       checkPoisson,
	"poisson_two_rate": checkTwoRates,
	"kaplan_meier":     checkKaplanMeier,
	"quantile":         checkQuantile,
}

// later lists the methods of testdata/published.json that nothing computes yet.
// Whoever builds one takes it from here and adds its check to built.
var later = []string{
	"celeration",
	"event_matching",
	"fisher_exact",
	"holm",
	"ioa_counts",
	"ioa_durations",
	"ioa_intervals",
	"ioa_trials",
	"kappa_cohen",
	"kappa_fleiss",
	"kendall_tau_b",
	"krippendorff_alpha",
	"logrank",
	"lsa_independence",
	"lsa_quasi_independence",
	"lsa_transitions",
	"mann_kendall",
	"median_ci",
	"nap",
	"newcombe_difference",
	"pair_association",
	"theil_sen",
	"time_sampling",
	"time_sampling_expected",
	"xcorr_lag",
}

// entry is one worked example. Its fields are taken one by one, so that one
// that no check looked at is noticed.
type entry struct {
	ID        string
	Method    string
	Source    string
	Tolerance float64
	Input     map[string]json.RawMessage
	Expect    map[string]json.RawMessage

	t *testing.T
}

// TestPublished checks every method against values from the literature or
// recomputed with R; the source of each stands in the file.
func TestPublished(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "published.json"))
	if err != nil {
		t.Fatal(err)
	}
	var file struct{ Entries []entry }
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, e := range file.Entries {
		seen[e.Method] = true
		check, ok := built[e.Method]
		if !ok {
			if !slices.Contains(later, e.Method) {
				t.Errorf("%s: method %q is neither built nor listed in later", e.ID, e.Method)
			}
			continue
		}
		t.Run(e.ID, func(t *testing.T) {
			e.t = t
			if len(e.Expect) == 0 || e.Tolerance <= 0 {
				t.Fatalf("entry expects nothing: %v, tolerance %v", e.Expect, e.Tolerance)
			}
			check(&e)
			for field := range e.Input {
				t.Errorf("input field %q was not used", field)
			}
			for field := range e.Expect {
				t.Errorf("expected field %q was not checked", field)
			}
			if t.Failed() {
				t.Logf("source: %s", e.Source)
			}
		})
	}
	for method := range built {
		if !seen[method] {
			t.Errorf("no entry for the built method %q", method)
		}
	}
	for _, method := range later {
		if !seen[method] {
			t.Errorf("no entry for %q, listed in later", method)
		}
		if built[method] != nil {
			t.Errorf("%q is built and still listed in later", method)
		}
	}
}

// input takes the named input field into *into.
func (e *entry) input(field string, into any) {
	e.t.Helper()
	e.take(e.Input, field, into)
}

func (e *entry) take(from map[string]json.RawMessage, field string, into any) {
	e.t.Helper()
	raw, ok := from[field]
	if !ok {
		e.t.Fatalf("entry has no field %q", field)
	}
	if err := json.Unmarshal(raw, into); err != nil {
		e.t.Fatalf("field %q: %v", field, err)
	}
	delete(from, field)
}

// want compares got with the expected field, a number, null or "Infinity".
func (e *entry) want(field string, got Number) {
	e.t.Helper()
	var want any
	e.take(e.Expect, field, &want)
	e.compare(field, got, want)
}

// wantList compares got with the expected field, a list.
func (e *entry) wantList(field string, got ...Number) {
	e.t.Helper()
	want := []any{"unset"}
	e.take(e.Expect, field, &want)
	if len(got) != len(want) {
		e.t.Fatalf("%s = %v, want %v", field, got, want)
	}
	for i := range got {
		e.compare(field, got[i], want[i])
	}
}

// wantInts compares got with the expected field exactly: a list of integers.
func (e *entry) wantInts(field string, got ...int64) {
	e.t.Helper()
	want := []int64{-1}
	e.take(e.Expect, field, &want)
	if !slices.Equal(got, want) {
		e.t.Errorf("%s = %v, want %v", field, got, want)
	}
}

// wantInt compares got with the expected field exactly.
func (e *entry) wantInt(field string, got int) {
	e.t.Helper()
	var want int
	e.take(e.Expect, field, &want)
	if got != want {
		e.t.Errorf("%s = %d, want %d", field, got, want)
	}
}

func (e *entry) compare(field string, got Number, want any) {
	e.t.Helper()
	switch want := want.(type) {
	case nil:
		if got.Defined() {
			e.t.Errorf("%s = %v, want undefined", field, got)
		}
	case string:
		if want != "Infinity" || !got.IsInfinite() {
			e.t.Errorf("%s = %v, want %s", field, got, want)
		}
	case float64:
		x, ok := got.Float()
		if !ok || math.Abs(x-want) > e.Tolerance {
			e.t.Errorf("%s = %v, want %v ± %v", field, got, want, e.Tolerance)
		}
	default:
		e.t.Fatalf("%s expects %v, which this test cannot read", field, want)
	}
}

func checkWilson(e *entry) {
	var x, n int
	var conf float64
	e.input("x", &x)
	e.input("n", &n)
	e.input("conf", &conf)
	got, ok, err := Wilson(x, n, conf)
	if !ok || err != nil {
		e.t.Fatalf("Wilson(%d, %d, %v) = _, %v, %v", x, n, conf, ok, err)
	}
	e.want("p", Finite(got.Value))
	e.want("ci_lower", Finite(got.Low))
	e.want("ci_upper", Finite(got.High))
}

func checkPoisson(e *entry) {
	var count int
	var exposure, conf float64
	e.input("count", &count)
	e.input("exposure", &exposure)
	e.input("conf", &conf)
	got, err := Garwood(count, exposure, conf)
	if err != nil {
		e.t.Fatal(err)
	}
	e.want("rate", Finite(got.Value))
	e.want("ci_lower", Finite(got.Low))
	e.want("ci_upper", Finite(got.High))
}

func checkTwoRates(e *entry) {
	var count1, count2 int
	var exposure1, exposure2, conf float64
	e.input("count1", &count1)
	e.input("exposure1", &exposure1)
	e.input("count2", &count2)
	e.input("exposure2", &exposure2)
	e.input("conf", &conf)
	got, err := TwoRates(count1, exposure1, count2, exposure2, conf)
	if err != nil {
		e.t.Fatal(err)
	}
	minlike, err := MinlikeP(count1, exposure1, count2, exposure2)
	if err != nil {
		e.t.Fatal(err)
	}
	e.want("rate1", Finite(got.Rate1))
	e.want("rate2", Finite(got.Rate2))
	e.want("rate_ratio", got.Ratio)
	e.want("ratio_ci_lower", got.Low)
	e.want("ratio_ci_upper", got.High)
	e.want("p_central", Finite(got.P))
	e.want("p_minlike", Finite(minlike))
}

func checkKaplanMeier(e *entry) {
	var times, events []int64
	var conf float64
	e.input("time", &times)
	e.input("event", &events)
	e.input("conf", &conf)
	obs := make([]Observation, len(times))
	for i := range times {
		obs[i] = Observation{Exit: times[i], Event: events[i] == 1}
	}
	c, err := Survival(obs, conf)
	if err != nil {
		e.t.Fatal(err)
	}
	ints := func(get func(Step) int64) (list []int64) {
		for _, s := range c.Steps {
			list = append(list, get(s))
		}
		return list
	}
	numbers := func(get func(Point) Number) (list []Number) {
		for _, s := range c.Steps {
			list = append(list, get(s.Point))
		}
		return list
	}
	e.wantInt("n", c.N)
	e.wantInt("events", c.Events)
	e.wantInts("event_times", ints(func(s Step) int64 { return s.Age })...)
	e.wantInts("at_risk", ints(func(s Step) int64 { return int64(s.AtRisk) })...)
	e.wantInts("n_event", ints(func(s Step) int64 { return int64(s.Events) })...)
	e.wantList("survival", numbers(func(p Point) Number { return Finite(p.Value) })...)
	e.wantList("se_greenwood", numbers(func(p Point) Number { return p.SE })...)
	e.wantList("ci_plain_lower", numbers(func(p Point) Number { return p.Plain.Low })...)
	e.wantList("ci_plain_upper", numbers(func(p Point) Number { return p.Plain.High })...)
	e.wantList("ci_loglog_lower", numbers(func(p Point) Number { return p.LogLog.Low })...)
	e.wantList("ci_loglog_upper", numbers(func(p Point) Number { return p.LogLog.High })...)
	e.wantList("ci_log_lower", numbers(func(p Point) Number { return p.Log.Low })...)
	e.wantList("ci_log_upper", numbers(func(p Point) Number { return p.Log.High })...)
	e.want("median", c.Median())
	plain, loglog := c.MedianBounds(Plain), c.MedianBounds(LogLog)
	e.wantList("median_ci_plain", plain.Low, plain.High)
	e.wantList("median_ci_loglog", loglog.Low, loglog.High)
}

func checkQuantile(e *entry) {
	var x []float64
	e.input("x", &x)
	got, ok, err := Summarize(x)
	if !ok || err != nil {
		e.t.Fatalf("Summarize = _, %v, %v", ok, err)
	}
	e.wantInt("n", got.N)
	e.want("q1", Finite(got.Q1))
	e.want("median", Finite(got.Median))
	e.want("q3", Finite(got.Q3))
	e.want("iqr", Finite(got.IQR()))
	e.want("p90", Finite(got.P90))
}
