using System.Diagnostics;

namespace Keyline.Benchmarks;

/// <summary>Takes the time of each stage that work reports; a stage that comes again is added to its time.</summary>
internal sealed class StageClock : IProgress<PlanProgress>
{
    private readonly List<(string Stage, double Seconds)> _stages = [];
    private string? _stage;
    private long _since;

    public void Report(PlanProgress value)
    {
        Close();
        (_stage, _since) = (value.Stage, Stopwatch.GetTimestamp());
    }

    public (string Stage, double Seconds)[] End()
    {
        Close();
        return [.. _stages];
    }

    private void Close()
    {
        if (_stage is not null)
        {
            double seconds = Stopwatch.GetElapsedTime(_since).TotalSeconds;
            int at = _stages.FindIndex(s => s.Stage == _stage);
            if (at < 0)
            {
                _stages.Add((_stage, seconds));
            }
            else
            {
                _stages[at] = (_stage, _stages[at].Seconds + seconds);
            }
        }
    }
}
