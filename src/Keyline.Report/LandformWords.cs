using System.Globalization;
using Keyline.Landform;
using NetTopologySuite.Geometries;

namespace Keyline.Report;

/// <summary>Says in plain sentences what was read from the landform.</summary>
/// <remarks>Heights in metres to a decimal, slopes in percent; valleys and ridges by the numbers they have in the files.</remarks>
public static class LandformWords
{
    private const int MostListed = 8;
    private static readonly string[] Compass = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];

    /// <summary>The sentences, from the whole land to the single keypoint, and a caution last.</summary>
    /// <param name="reading">What was read.</param>
    /// <param name="generalGuide">The line to start from where there is no keypoint; null for none.</param>
    public static IReadOnlyList<string> Describe(LandformReading reading, LineString? generalGuide)
    {
        ArgumentNullException.ThrowIfNull(reading);
        List<string> said = [Land(reading.Shape, reading.Keypoints.Any(k => k.Class == KeypointClass.Clear)), Counts(reading)];
        said.AddRange(reading.Keypoints.Select(k => Break(reading, k)));
        int[] without = [.. reading.Valleys.Where(v => v.Kind != ValleyKind.Minor && reading.Keypoints.All(k => k.ValleyNumber != v.Number)).Select(v => v.Number)];
        if (without.Length > 0)
        {
            said.Add($"{Name("Valley", without)} {(without.Length == 1 ? "has" : "have")} no break of slope that stands out, so no keypoint is given there.");
        }

        said.AddRange(reading.CommonKeylines.Select(c => Text($"{Name("Valley", c.ValleyNumbers)} can share one keyline at {c.Height:0.0} m; their keypoints differ by {c.Spread:0.0} m.")));
        said.AddRange(reading.Sequences.Select(Sequence));
        foreach (ValleyLine valley in reading.Valleys.Where(v => v.End == ValleyEnd.Hollow).Take(MostListed))
        {
            said.Add(Text($"Valley {valley.Number} ends in a closed hollow at {valley.Line.EndPoint.Coordinate.Z:0.0} m: look there for a dam, a sink or an error of the survey."));
        }

        foreach (Coordinate pin in reading.UnplacedPins)
        {
            said.Add(Text($"The keypoint flagged at {pin.X:0}, {pin.Y:0} lies too far from every valley line, so it is left out."));
        }

        if (generalGuide is not null)
        {
            said.Add(Text($"With no keypoint to start from, begin at the contour of {generalGuide.Coordinate.Z:0.0} m, {generalGuide.Length:0} m long, as high as the land allows, and work parallel to it down the slope; on a long slope set a fresh contour when the lines grow too steep."));
        }

        said.Add("All this is read from elevation alone. Walk to every keypoint before you work from it.");
        return said;
    }

    private static string Land(LandShape shape, bool isClear)
    {
        string slope = Text($"{shape.MeanSlope:0.0} % on average over {shape.Relief:0} m of relief");
        string way = double.IsNaN(shape.FallDirection) ? "" : $" to the {Compass[(int)Math.Round(shape.FallDirection / 45) % 8]}";
        return shape.Kind switch
        {
            LandShapeKind.Valleys when !isClear => $"The land has valleys or hollows, but none with a clear keypoint; it slopes {slope}.",
            LandShapeKind.Valleys => $"The land is cut by valleys with keypoints; it slopes {slope}.",
            LandShapeKind.ValleysWithoutKeypoint => $"The land is cut by valleys, but no floor has a break of slope that stands out; it slopes {slope}.",
            LandShapeKind.Plain => $"The land is nearly level, {slope}.",
            LandShapeKind.Slope => $"The land is one slope that falls{way}, {slope}.",
            LandShapeKind.Dome => $"The land is a rise that falls away on all sides, {slope}.",
            LandShapeKind.Fan => $"The land falls{way} and spreads like a fan, {slope}.",
            LandShapeKind.Hollow => $"The land falls{way} and draws together without a floor to see, {slope}.",
            _ => $"The land rolls without valleys that stand out, {slope}.",
        };
    }

    private static string Counts(LandformReading reading)
    {
        if (reading.Valleys.Count == 0)
        {
            return reading.Ridges.Count == 0 ? "There is no valley and no ridge." : $"There is no valley; {Count(reading.Ridges.Count, "ridge")} {(reading.Ridges.Count == 1 ? "was" : "were")} found.";
        }

        int main = reading.Valleys.Count(v => v.Kind == ValleyKind.Main), primary = reading.Valleys.Count(v => v.IsPrimary), minor = reading.Valleys.Count - main - primary;
        string kinds = string.Join(", ", new[] { (main, "main valley"), (primary, "primary valley"), (minor, "minor hollow") }.Where(k => k.Item1 > 0).Select(k => Count(k.Item1, k.Item2)));
        ValleyLine longest = reading.Valleys.MaxBy(v => v.Length)!;
        string ridges = Text($"{Count(reading.Ridges.Count, "ridge")}{(reading.Ridges.Count > 0 ? $" ({reading.Ridges.Count(r => r.IsMain)} of them main)" : "")}");
        return Text($"There {(reading.Valleys.Count == 1 ? "is" : "are")} {kinds}, and {ridges}. The longest is valley {longest.Number}: {longest.Length:0} m{(double.IsFinite(longest.Fall) ? Text($", falling {longest.Fall:0.0} m") : "")}, with {longest.CatchmentArea / 10_000:0.0} ha draining through its foot.");
    }

    private static string Break(LandformReading reading, Keypoint k)
    {
        string where = Text($"{k.DistanceFromHead:0} m down from the head, at {k.Location.Coordinate.Z:0.0} m");
        string slopes = double.IsNaN(k.SlopeAbove) ? "too near an end of the floor to say how it falls there" : Text($"the floor falls {k.SlopeAbove:0.0} % above and {k.SlopeBelow:0.0} % below");
        if (k.IsPinned)
        {
            Keypoint? found = reading.LesserBreaks.FirstOrDefault(b => b.ValleyNumber == k.ValleyNumber && !b.IsPinned);
            string bears = k.Class == KeypointClass.Clear ? "The profile bears it out."
                : found is null ? "The profile shows no break of slope there." : Text($"The profile's own break lies {Math.Abs(found.DistanceFromHead - k.DistanceFromHead):0} m {(found.DistanceFromHead > k.DistanceFromHead ? "farther down" : "higher up")}.");
            return Text($"Valley {k.ValleyNumber}: the keypoint flagged in the field, put on the floor {k.PinDistance:0.0} m away, {where}; {slopes}. {bears}");
        }

        int more = reading.LesserBreaks.Count(b => b.ValleyNumber == k.ValleyNumber);
        string others = more == 0 ? "" : $" {Count(more, "lesser break")} of slope {(more == 1 ? "is" : "are")} listed beside it.";
        string sure = Text($"Its place is known to within {k.DistanceFromHead - k.PlaceFrom:0} m up and {k.PlaceTo - k.DistanceFromHead:0} m down.");
        return Text($"Valley {k.ValleyNumber} has a {(k.Class == KeypointClass.Clear ? "clear" : "weak")} keypoint {where}: {slopes}. {sure}{others}");
    }

    private static string Sequence(KeypointSequence s)
    {
        string from = Text($"from {s.Heights[0]:0.0} to {s.Heights[^1]:0.0} m");
        return s.Rises
            ? $"Up ridge {s.RidgeNumber} the keypoints of valleys {Numbers(s.ValleyNumbers)} rise with it, {from}."
            : $"Up ridge {s.RidgeNumber} the keypoints of valleys {Numbers(s.ValleyNumbers)} do not all rise ({s.RisingSteps} of {s.Heights.Count - 1} steps do): look again at those that fall back.";
    }

    private static string Name(string one, IReadOnlyList<int> numbers) => (numbers.Count == 1 ? one : one + "s") + " " + Numbers(numbers);

    private static string Numbers(IReadOnlyList<int> numbers)
    {
        string[] words = [.. numbers.Take(MostListed).Select(n => n.ToString(CultureInfo.InvariantCulture))];
        return numbers.Count > MostListed ? Text($"{string.Join(", ", words)} and {numbers.Count - MostListed} more")
            : words.Length < 2 ? string.Concat(words) : string.Join(", ", words[..^1]) + " and " + words[^1];
    }

    private static string Count(int n, string what) => n == 0 ? "no " + what : Text($"{n} {(n == 1 ? what : what.EndsWith('y') && !what.EndsWith("ey", StringComparison.Ordinal) ? what[..^1] + "ies" : what + "s")}");

    private static string Text(FormattableString text) => FormattableString.Invariant(text);
}
