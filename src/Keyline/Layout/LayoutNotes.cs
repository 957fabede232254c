using Keyline.Field;

namespace Keyline.Layout;

/// <summary>What was left out of a layout and why, one sentence each.</summary>
internal static class LayoutNotes
{
    public static IReadOnlyList<string> Of(FieldSurvey survey, int lines, int pinned)
    {
        List<string> notes = [];
        LayoutOptions options = survey.Options;
        WorkableGround work = survey.Work;
        if (options.Shanks is { } shanks)
        {
            notes.Add(shanks.Describe(options.Spacing));
        }

        if (!work.Steep.IsEmpty)
        {
            notes.Add(FormattableString.Invariant($"{work.Steep.Area / 1e4:F2} ha of the field is steeper than {options.Limits.SteepestLand:F0} % and is left out."));
        }

        if (work.SmallSteepArea > 0)
        {
            notes.Add(FormattableString.Invariant($"{work.SmallSteepArea:F0} m2 in patches smaller than {WorkableGround.LeastPatch:F0} m2 is steeper than {options.Limits.SteepestLand:F0} % and is worked over: look at them before driving."));
        }

        if (survey.Field.Avoided.Count > 0)
        {
            notes.Add(survey.Field.Avoided.Count == 1
                ? "One avoided area with its setback is left out."
                : FormattableString.Invariant($"{survey.Field.Avoided.Count} avoided areas with their setbacks are left out."));
        }

        int wanted = survey.Field.PinnedGuides.Count;
        if (pinned < wanted)
        {
            int without = wanted - pinned;
            string which = wanted == 1 ? "The pinned guide has" : FormattableString.Invariant($"{without} of {wanted} pinned guides {(without == 1 ? "has" : "have")}");
            notes.Add(FormattableString.Invariant(
                $"{which} no place in the field: no stretch of {options.MinimumLength:F0} m of {(without == 1 ? "it" : "them")} lies on workable ground clear of the others."));
        }

        if (lines == 0)
        {
            notes.Add(FormattableString.Invariant($"No line of at least {options.MinimumLength:F0} m fits the field."));
        }

        return notes;
    }
}
