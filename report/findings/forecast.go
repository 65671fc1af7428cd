package findings

import (
	"setline.example/checks"
	"setline.example/checks/forecast"
	"setline.example/checks/say"
)

// Forecast is when a run leaves level if it goes on as it did between two
// visits. Nothing says that it will.
type Forecast struct {
	// Date of the first visit since its bolts were last turned, as YYYY-MM-DD.
	From string `json:"from"`
	// Date of the last visit.
	To string `json:"to"`
	// Whether a date can be told, or why not.
	Says string `json:"says" jsonschema:"enum=date,enum=under three days,enum=under four corners,enum=not one plane,enum=not straight,enum=rate within its uncertainty"`
	// What leaves level first: the tag of a cabinet, or of two.
	Of string `json:"of,omitempty"`
	// About when, at the rate seen; none where no date can be told.
	About string `json:"about,omitempty"`
	// The first date on which it may have left level.
	NotBefore string `json:"not_before,omitempty"`
	// By when to measure again.
	MeasureAgain string `json:"measure_again,omitempty"`
}

var forecastSays = map[forecast.Why]string{
	forecast.Dated: "date", forecast.FewDays: "under three days", forecast.FewCorners: "under four corners",
	forecast.NotOnePlane: "not one plane", forecast.NotStraight: "not straight", forecast.Faint: "rate within its uncertainty",
}

func newForecast(f *checks.Forecast, w say.Writer) *Forecast {
	if f == nil {
		return nil
	}
	return &Forecast{
		From: string(f.From), To: string(f.To), Says: forecastSays[f.Why], Of: w.Text(f.Of),
		About: string(f.About), NotBefore: string(f.NotBefore), MeasureAgain: string(f.Again),
	}
}
