namespace Keyline.Drainage;

/// <summary>What is carried down the flow, and what becomes of it in a cell.</summary>
/// <typeparam name="TAmount">An amount of it.</typeparam>
/// <remarks>Amounts that enter a cell may come in any order, so that the order must not show in the result.</remarks>
internal interface ICarried<TAmount>
    where TAmount : unmanaged
{
    /// <summary>Something comes into a cell from one that drains into it.</summary>
    void Enter(int cell, TAmount amount);

    /// <summary>What goes on from a cell, once all that drain into it have come in; called once for every cell with ground.</summary>
    /// <param name="cell">Its place.</param>
    /// <param name="code">Its direction; none where the flow ends.</param>
    TAmount Leave(int cell, byte code);
}
