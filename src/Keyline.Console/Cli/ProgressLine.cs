using System.Globalization;

namespace Keyline.Console.Cli;

/// <summary>One line on the terminal that says how far the work is and how long it still takes; silent elsewhere.</summary>
/// <remarks>With a course, the bar is that of the whole command and never goes back; without one, it is that of the stage.
/// Safe to be told from any thread; what is told after it is disposed of is not shown.</remarks>
internal sealed class ProgressLine : IProgress<PlanProgress>, IDisposable
{
    private const int NameWidth = 26;
    private const int BarWidth = 24;
    private const int Width = 79;

    // Before this much of it is done, the rest is a guess that jumps about.
    private const double LeastShare = 0.03;
    private static readonly TimeSpan LeastTime = TimeSpan.FromSeconds(1.5);
    private static readonly TimeSpan BetweenDrawings = TimeSpan.FromMilliseconds(100);

    private readonly TextWriter? _terminal;
    private readonly TimeProvider _clock;
    private readonly Dictionary<string, (double Before, double Weight)> _course = [];
    private readonly Lock _showing = new();
    private long _began;
    private long _drawn;
    private string _stage = "";
    private double _share;
    private string _shown = "";
    private bool _ended;

    /// <summary>Begins.</summary>
    /// <param name="context">Where to draw.</param>
    /// <param name="quiet">Whether nothing is to be drawn at all.</param>
    /// <param name="course">The stages in their order with the time each takes, in any unit; null where it is not known.</param>
    /// <param name="clock">For the time left.</param>
    public ProgressLine(RunContext context, bool quiet, IReadOnlyList<(string Stage, double Weight)>? course = null, TimeProvider? clock = null)
    {
        _terminal = context.ShowProgress && !quiet ? context.Error : null;
        _clock = clock ?? TimeProvider.System;
        _began = _clock.GetTimestamp();
        double whole = course?.Sum(c => c.Weight) ?? 1, before = 0;
        foreach ((string stage, double weight) in course ?? [])
        {
            _course[stage] = (before / whole, weight / whole);
            before += weight;
        }
    }

    public void Report(PlanProgress value) => Show(value.Stage, value.Share);

    /// <summary>Shows a stage.</summary>
    /// <param name="stage">What is being done, a word or two.</param>
    /// <param name="share">Share of it done, 0 to 1; null where that is not known.</param>
    public void Show(string stage, double? share = null)
    {
        if (_terminal is null)
        {
            return;
        }

        lock (_showing)
        {
            bool isNew = stage != _stage;
            long now = _clock.GetTimestamp();
            if (_ended || (!isNew && _clock.GetElapsedTime(_drawn, now) < BetweenDrawings))
            {
                return;
            }

            double done = Math.Clamp(share ?? 0, 0, 1);
            if (_course.Count > 0)
            {
                _share = Math.Max(_share, _course.TryGetValue(stage, out (double Before, double Weight) at) ? at.Before + (at.Weight * done) : _share);
            }
            else
            {
                _share = done;
                _began = isNew ? now : _began;
            }

            (_stage, _drawn) = (stage, now);
            Draw(Line(share is not null || _course.Count > 0, _clock.GetElapsedTime(_began, now)));
        }
    }

    /// <summary>Wipes the line; nothing is drawn from then on.</summary>
    public void Dispose()
    {
        lock (_showing)
        {
            _ended = true;
            if (_terminal is not null && _shown.Length > 0)
            {
                _terminal.Write('\r' + new string(' ', _shown.Length) + '\r');
                _terminal.Flush();
                _shown = "";
            }
        }
    }

    private string Line(bool hasShare, TimeSpan elapsed)
    {
        string name = _stage.Length > NameWidth ? _stage[..NameWidth] : _stage;
        if (!hasShare)
        {
            return name;
        }

        int full = (int)Math.Round(_share * BarWidth);
        string bar = new string('#', full).PadRight(BarWidth, '.');
        string left = _share >= LeastShare && elapsed >= LeastTime && _share < 1 ? ", " + Left(elapsed * ((1 - _share) / _share)) + " left" : "";
        return string.Create(CultureInfo.InvariantCulture, $"{name,-NameWidth} [{bar}] {Math.Floor(_share * 100),3:0} %{left}");
    }

    private static string Left(TimeSpan time) => time.TotalSeconds < 90
        ? string.Create(CultureInfo.InvariantCulture, $"about {Math.Max(1, Math.Ceiling(time.TotalSeconds)):0} s")
        : time.TotalMinutes < 90
            ? string.Create(CultureInfo.InvariantCulture, $"about {time.TotalMinutes:0} min")
            : string.Create(CultureInfo.InvariantCulture, $"about {time.TotalHours:0.0} h");

    private void Draw(string line)
    {
        line = line.Length > Width ? line[..Width] : line;
        if (line != _shown)
        {
            _terminal!.Write('\r' + line.PadRight(_shown.Length));
            _terminal.Flush();
            _shown = line;
        }
    }
}
