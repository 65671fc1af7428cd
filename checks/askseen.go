package checks

import "setline.example/checks/say"

// answerWords are the words for answers that a record has in words of our own.
var answerWords = map[string]say.Words{
	"yes": "yes", "no": "no", "nothing": "nothing",
	"laser": "laser", "level": "level", "rule": "rule", "feeler gauge": "feeler gauge", "other": "other",
	"heights": "heights", "level and plumb": "level and plumb", "offsets": "offsets", "extensions": "extensions", "gaps": "gaps",
	"vacated hinge hole": "vacated hinge hole", "behind front rail": "behind front rail",
	"face": "face", "side": "side", "inside": "inside", "top": "top", "middle": "middle", "bottom": "bottom",
	"front of door cabinet": "front of door cabinet", "front of drawer cabinet": "front of drawer cabinet", "upper rear": "upper rear", "filler": "filler",
	"self-tapping": "self-tapping", "self-drilling": "self-drilling",
	"new": "new", "gone": "gone", "moved": "moved", "otherwise": "otherwise",
	"installer": "installer", "inspector": "inspector", "contractor": "contractor",
}

// AnswerWords say an answer as a record has it: in words where they are ours,
// else as somebody typed it.
func AnswerWords(answer string) say.Text {
	if words, ours := answerWords[answer]; ours {
		return words.Text()
	}
	return say.Name(answer).Text()
}
